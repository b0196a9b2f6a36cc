package artnet_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

// Whatever is taken encodes to bytes that say the same.
func FuzzParse(f *testing.F) {
	for _, g := range goldenPackets {
		b := outside.Golden(f, g.file)
		f.Add(b)
		f.Add(b[:len(b)-1])         // cut short
		f.Add(append(b, 0xff, 'x')) // followed by something
	}
	f.Add(outside.Golden(f, "artdmx-odd-illegal"))
	full := outside.Golden(f, "artpollreply-node")
	for i := 26; i < 172; i++ {
		full[i] = 'x' // texts without a NUL
	}
	f.Add(full)
	bits := outside.Golden(f, "artpoll")
	for i := 12; i < 18; i++ {
		bits[i] = 0xff // bits without a meaning, port-addresses of 16 bits
	}
	f.Add(bits)
	f.Add([]byte("Art-Net\x00\x00\x97\x00\x0e"))
	f.Fuzz(func(t *testing.T, in []byte) { thereAndBack(t, in) })
}

func thereAndBack(t *testing.T, in []byte) {
	first, err := artnet.Parse(in)
	if err != nil {
		return
	}
	_ = fmt.Sprint(first) // never panics
	b, err := first.AppendBinary(nil)
	require.NoError(t, err)
	second, err := artnet.Parse(b)
	require.NoError(t, err)
	require.Equal(t, first, second)
	again, err := second.AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, b, again)
}

// One target a kind, so that each gets its share of a run: the fields that
// follow the head, whose op-code and version are always right.
func fuzzFields(f *testing.F, code artnet.OpCode, seeds ...[]byte) {
	head := []byte(artNet + string([]byte{byte(code), byte(code >> 8), 0, artnet.ProtocolVersion}))
	if code == artnet.OpPollReply {
		head = head[:10]
	}
	for _, g := range goldenPackets {
		if g.packet.OpCode() == code {
			b := outside.Golden(f, g.file)[len(head):]
			f.Add(b)
			f.Add(b[:len(b)-1])
			f.Add(append(b, 0xff, 'x'))
		}
	}
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, fields []byte) { thereAndBack(t, append(head[:len(head):len(head)], fields...)) })
}

func FuzzDmx(f *testing.F)       { fuzzFields(f, artnet.OpDmx) }
func FuzzPoll(f *testing.F)      { fuzzFields(f, artnet.OpPoll) }
func FuzzPollReply(f *testing.F) { fuzzFields(f, artnet.OpPollReply) }
func FuzzSync(f *testing.F)      { fuzzFields(f, artnet.OpSync) }

func FuzzAddress(f *testing.F) {
	fuzzFields(f, artnet.OpAddress, bytes.Repeat([]byte{0x01}, 95), bytes.Repeat([]byte{0xff}, 95), make([]byte, 95))
}

func FuzzTimeCode(f *testing.F) {
	fuzzFields(f, artnet.OpTimeCode, []byte{0, 1, 29, 59, 59, 23, 2}, []byte{0, 0, 24, 0, 0, 0, 0}, []byte{0, 0, 0, 0, 0, 0, 4})
}

func FuzzTrigger(f *testing.F) {
	fuzzFields(f, artnet.OpTrigger, []byte{0, 0, 1, 2, 3, 4, 'd', 0, 'a', 0, 0}, bytes.Repeat([]byte{7}, 600))
}

func FuzzDiagData(f *testing.F) {
	fuzzFields(f, artnet.OpDiagData, []byte{0, 0xe0, 0, 0, 0xff, 0xff, 'a', 'b'}, []byte{0, 0x10, 0, 0, 0, 9, 'a', 0, 'b'}, bytes.Repeat([]byte{'t'}, 700))
}

func FuzzTodRequest(f *testing.F) {
	fuzzFields(f, artnet.OpTodRequest, append(make([]byte, 11), bytes.Repeat([]byte{32}, 33)...), append(make([]byte, 11), 33))
}

func FuzzTodData(f *testing.F) {
	fuzzFields(f, artnet.OpTodData, append(make([]byte, 15), bytes.Repeat([]byte{200}, 1201)...), append(make([]byte, 15), bytes.Repeat([]byte{201}, 1210)...))
}

func FuzzTodControl(f *testing.F) { fuzzFields(f, artnet.OpTodControl, bytes.Repeat([]byte{0xff}, 12)) }

func FuzzRdm(f *testing.F) {
	fuzzFields(f, artnet.OpRdm, bytes.Repeat([]byte{0xff}, 12+256), bytes.Repeat([]byte{0xff}, 12+257), make([]byte, 12+24))
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
