package sacn_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

func ramp(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i)
	}
	return b
}

func name(t testing.TB, text string) sacn.Name {
	t.Helper()
	n, err := sacn.NewName(text)
	require.NoError(t, err)
	return n
}

// bench is the component of every golden packet.
var bench = sacn.CID{0x0f, 0x1e, 0x2d, 0x3c, 0x4b, 0x5a, 0x49, 0x78, 0xa6, 0xb5, 0xc4, 0xd3, 0xe2, 0xf1, 0x02, 0x03}

// goldenPackets is what each file says in its comments.
func goldenPackets(t testing.TB) map[string]sacn.Packet {
	source := name(t, "bench source")
	return map[string]sacn.Packet{
		"e131-data": &sacn.Data{
			CID: bench, SourceName: source, Priority: 100, Sequence: 1, Universe: 291,
			Slots: []byte{0xff, 0x80, 0x40, 1, 0xfe, 0xed, 0, 7},
		},
		"e131-data-512-synced": &sacn.Data{
			CID: bench, SourceName: source, Priority: 100, SyncAddress: 7962, Sequence: 0x9a, Options: sacn.ForceSync, Universe: 1, Slots: ramp(512),
		},
		"e131-data-terminated": &sacn.Data{
			CID: bench, SourceName: source, Priority: 100, Sequence: 2, Options: sacn.Terminated, Universe: 291,
			Slots: make([]byte, 8),
		},
		"e131-sync":      &sacn.Sync{CID: bench, Sequence: 42, Address: 7962},
		"e131-discovery": &sacn.Discovery{CID: bench, SourceName: source, Universes: []sacn.Universe{1, 2, 291}},
	}
}

func TestGoldenPackets(t *testing.T) {
	for file, packet := range goldenPackets(t) {
		t.Run(file, func(t *testing.T) {
			want := outside.Golden(t, file)
			got, err := sacn.Parse(want)
			require.NoError(t, err)
			require.Equal(t, packet, got)

			b, err := packet.AppendBinary([]byte("before"))
			require.NoError(t, err)
			require.Equal(t, "before", string(b[:6]), "what the buffer held")
			require.Equal(t, want, b[6:])
		})
	}
}

// The places that a sender of prepared packets writes to are the fields that
// they say.
func TestPreparedPacketsChangeInPlace(t *testing.T) {
	data := outside.Golden(t, "e131-data")
	data[sacn.DataSequenceAt], data[sacn.DataOptionsAt], data[sacn.DataSlotsAt] = 77, uint8(sacn.Preview), 99
	data[sacn.DataSyncAt], data[sacn.DataSyncAt+1] = 0x1f, 0x1a
	var d sacn.Data
	require.NoError(t, d.Parse(data))
	require.Equal(t, uint8(77), d.Sequence)
	require.Equal(t, sacn.Preview, d.Options)
	require.Equal(t, uint8(99), d.Slots[0])
	require.Equal(t, sacn.Universe(7962), d.SyncAddress)

	sync := outside.Golden(t, "e131-sync")
	sync[sacn.SyncSequenceAt] = 78
	var s sacn.Sync
	require.NoError(t, s.Parse(sync))
	require.Equal(t, uint8(78), s.Sequence)
}
