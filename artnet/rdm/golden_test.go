package rdm_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
)

// artRdmHead is what ArtRdm puts before the message (Art-Net 4, ArtRdm: the
// message starts at offset 24, without its START code).
const artRdmHead = 24

// golden reads the RDM message of testdata/NAME.hex, without its START code;
// see testdata/README.md for its origin.
func golden(t testing.TB, name string) []byte {
	t.Helper()
	return outside.Golden(t, name)[artRdmHead:]
}

// whole is golden with the START code in front.
func whole(t testing.TB, name string) []byte { return append([]byte{0xcc}, golden(t, name)...) }

var (
	asker     = rdm.NewUID(0x7ff0, 0x99)
	responder = rdm.NewUID(0x7ff0, 1)
)

// goldenMessages is what each file says in its comments.
var goldenMessages = []struct {
	file    string
	message rdm.Message
	data    rdm.Parameter
	words   string
}{
	{
		"artrdm-get-deviceinfo",
		rdm.Message{Destination: responder, Source: asker, Transaction: 7, PortID: 1, Class: rdm.Get, PID: rdm.PIDDeviceInfo},
		&rdm.None{},
		"GET DEVICE_INFO, 7FF0:00000099 to 7FF0:00000001, transaction 7, 0 bytes",
	},
	{
		"artrdm-deviceinfo-response",
		rdm.Message{Destination: asker, Source: responder, Transaction: 7, Response: rdm.ResponseAck, Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo},
		&rdm.DeviceInfo{
			Protocol: rdm.ProtocolVersion, Model: 0x0101, Category: rdm.CategoryFixtureFixed, Software: 0x01020304,
			Footprint: 6, Personality: 2, Personalities: 3, StartAddress: 17, Sensors: 1,
		},
		"GET response DEVICE_INFO, 7FF0:00000001 to 7FF0:00000099, transaction 7, ACK, 19 bytes",
	},
	{
		"artrdm-nack",
		rdm.Message{Destination: asker, Source: responder, Transaction: 8, Response: rdm.ResponseNack, Class: rdm.SetResponse, PID: rdm.PIDDMXStartAddress},
		func() rdm.Parameter { n := rdm.NackRange; return &n }(),
		"SET response DMX_START_ADDRESS, 7FF0:00000001 to 7FF0:00000099, transaction 8, NACK_REASON: data out of range",
	},
}

func TestGoldenMessages(t *testing.T) {
	for _, g := range goldenMessages {
		t.Run(g.file, func(t *testing.T) {
			b := golden(t, g.file)
			var got rdm.Message
			require.NoError(t, got.ParseWithoutStart(b))
			data, err := got.Decode()
			require.NoError(t, err)
			require.Equal(t, g.data, data)
			require.NoError(t, got.Check())
			require.Equal(t, g.words, got.String())
			want := g.message
			want.Data = got.Data
			require.Equal(t, want, got)

			made := g.message
			made.Data, err = g.data.AppendBinary(nil)
			require.NoError(t, err)
			again, err := made.AppendWithoutStart([]byte("before"))
			require.NoError(t, err)
			require.Equal(t, "before", string(again[:6]), "what the buffer held")
			require.Equal(t, b, again[6:])

			whole, err := made.AppendBinary([]byte("before"))
			require.NoError(t, err)
			require.Equal(t, append([]byte("before\xcc"), b...), whole)
			require.NoError(t, got.Parse(whole[6:]))
			require.Equal(t, want, got)
		})
	}
}

// The worked examples in the golden files: 0x04E5, 0x0537 and 0x0592 are sums
// that count the 0xCC that ArtRdm does not carry.
func TestChecksumCountsTheStartCode(t *testing.T) {
	for file, want := range map[string]uint16{"artrdm-get-deviceinfo": 0x04e5, "artrdm-deviceinfo-response": 0x0537, "artrdm-nack": 0x0592} {
		b := whole(t, file)
		require.Equal(t, want, rdm.Checksum(b[:len(b)-2]), file)
	}
	long := make([]byte, 300)
	for i := range long {
		long[i] = 0xff
	}
	require.Equal(t, uint16(300*255%65536), rdm.Checksum(long), "the sum is mod 65536")
}
