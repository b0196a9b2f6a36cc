package sacn_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// Whatever is taken encodes to bytes that say the same. One target a kind, so
// that each gets its share of a run.

func FuzzData(f *testing.F) {
	for _, file := range []string{"e131-data", "e131-data-512-synced", "e131-data-terminated"} {
		b := outside.Golden(f, file)
		f.Add(b)
		f.Add(b[:len(b)-1])         // cut short
		f.Add(append(b, 0xff, 'x')) // followed by something
	}
	bits := outside.Golden(f, "e131-data")
	bits[112], bits[125] = 0xff, 0xdd // bits without a meaning, another START code
	for i := 44; i < 108; i++ {
		bits[i] = 0xff // a name without a NUL and not in UTF-8
	}
	f.Add(bits)
	f.Add(lengths(outside.Golden(f, "e131-data")[:126], 16, 38, 115, 123))
	f.Fuzz(func(t *testing.T, in []byte) { thereAndBack(t, in, new(sacn.Data), new(sacn.Data)) })
}

func FuzzSync(f *testing.F) {
	b := outside.Golden(f, "e131-sync")
	f.Add(b)
	f.Add(b[:48])
	f.Add(append(b, 1))
	f.Fuzz(func(t *testing.T, in []byte) { thereAndBack(t, in, new(sacn.Sync), new(sacn.Sync)) })
}

func FuzzDiscovery(f *testing.F) {
	b := outside.Golden(f, "e131-discovery")
	f.Add(b)
	f.Add(b[:120])
	f.Add(lengths(b[:120], 16, 38, 112, 0))
	f.Add(with(b, 120, 0, 9, 0xff, 0xff, 0, 4)) // not ascending, not a universe
	f.Add(lengths(append(b[:120:120], ramp(1024)...), 16, 38, 112, 0))
	f.Fuzz(func(t *testing.T, in []byte) { thereAndBack(t, in, new(sacn.Discovery), new(sacn.Discovery)) })
}

type parser interface {
	sacn.Packet
	Parse(b []byte) error
}

func thereAndBack(t *testing.T, in []byte, first, second parser) {
	if err := first.Parse(in); err != nil {
		return
	}
	any, err := sacn.Parse(in)
	require.NoError(t, err)
	require.Equal(t, first, any.(parser))
	b, err := first.AppendBinary(nil)
	require.NoError(t, err)
	require.NoError(t, second.Parse(b))
	require.Equal(t, first, second)
	again, err := second.AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, b, again)
}
