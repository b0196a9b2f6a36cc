package artnet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
)

// Whatever is taken encodes to bytes that say the same.
func FuzzParse(f *testing.F) {
	for _, g := range goldenPackets {
		b := golden(f, g.file)
		f.Add(b)
		f.Add(b[:len(b)-1])         // cut short
		f.Add(append(b, 0xff, 'x')) // followed by something
	}
	f.Add(golden(f, "artdmx-odd-illegal"))
	full := golden(f, "artpollreply-node")
	for i := 26; i < 172; i++ {
		full[i] = 'x' // texts without a NUL
	}
	f.Add(full)
	bits := golden(f, "artpoll")
	for i := 12; i < 18; i++ {
		bits[i] = 0xff // bits without a meaning, port-addresses of 16 bits
	}
	f.Add(bits)
	f.Add([]byte("Art-Net\x00\x00\x97\x00\x0e"))
	f.Fuzz(func(t *testing.T, in []byte) {
		first, err := artnet.Parse(in)
		if err != nil {
			return
		}
		b, err := first.AppendBinary(nil)
		require.NoError(t, err)
		second, err := artnet.Parse(b)
		require.NoError(t, err)
		require.Equal(t, first, second)
		again, err := second.AppendBinary(nil)
		require.NoError(t, err)
		require.Equal(t, b, again)
	})
}

func FuzzParsePortAddress(f *testing.F) {
	for _, s := range []string{"1:2:3", "291", "127:15:15", "0:0:16", "::", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := artnet.ParsePortAddress(text)
		if err != nil {
			return
		}
		require.True(t, a.Valid())
		again, err := artnet.ParsePortAddress(a.String())
		require.NoError(t, err)
		require.Equal(t, a, again)
	})
}
