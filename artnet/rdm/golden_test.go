package rdm_test

import (
	"encoding/hex"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/rdm"
)

// artRdmHead is what ArtRdm puts before the message (Art-Net 4, ArtRdm: the
// message starts at offset 24, without its START code).
const artRdmHead = 24

// golden reads the RDM message of a packet in testdata, written byte by byte
// from the tables of ANSI E1.20 and of Art-Net 4; a dissector (tshark 4.0.17)
// finds its checksum good.
func golden(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name + ".hex")
	require.NoError(t, err)
	var digits strings.Builder
	for line := range strings.Lines(string(text)) {
		line, _, _ = strings.Cut(line, "#")
		digits.WriteString(strings.Join(strings.Fields(line), ""))
	}
	b, err := hex.DecodeString(digits.String())
	require.NoError(t, err)
	return b[artRdmHead:]
}

var (
	asker     = rdm.NewUID(0x7ff0, 0x99)
	responder = rdm.NewUID(0x7ff0, 1)
)

func TestGoldenMessages(t *testing.T) {
	start := rdm.NackReason(6) // NR_DATA_OUT_OF_RANGE, E1.20 table A-17
	info := rdm.DeviceInfo{
		Protocol: rdm.ProtocolVersion, Model: 0x0101, Category: 0x0101, Software: 0x01020304,
		Footprint: 6, Personality: 2, Personalities: 3, StartAddress: 17, Sensors: 1,
	}
	for _, tt := range []struct {
		name string
		want rdm.Message
		data rdm.Parameter
	}{
		{"artrdm-get-deviceinfo", rdm.Message{Destination: responder, Source: asker, Transaction: 7, PortID: 1, Class: 0x20, PID: 0x60}, &rdm.None{}},
		{"artrdm-deviceinfo-response", rdm.Message{Destination: asker, Source: responder, Transaction: 7, Class: 0x21, PID: 0x60}, &info},
		{"artrdm-nack", rdm.Message{Destination: asker, Source: responder, Transaction: 8, Response: 2, Class: 0x31, PID: 0xf0}, &start},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := golden(t, tt.name)
			var got rdm.Message
			require.NoError(t, got.ParseWithoutStart(b))
			data, err := got.Decode()
			require.NoError(t, err)
			require.Equal(t, tt.data, data)

			want := tt.want
			want.Data, err = tt.data.AppendBinary(nil)
			require.NoError(t, err)
			again, err := want.AppendWithoutStart(nil)
			require.NoError(t, err)
			require.Equal(t, b, again)
			whole, err := want.AppendBinary(nil)
			require.NoError(t, err)
			require.Equal(t, append([]byte{0xcc}, b...), whole)
			require.NoError(t, got.Parse(whole))
			require.NotEmpty(t, got.String())
		})
	}
}

func TestNackReasonIsInWords(t *testing.T) {
	require.Contains(t, strings.ToLower(rdm.NackReason(6).String()), "range")
	require.NotEmpty(t, rdm.NackReason(0x7777).String(), "an unknown reason says its number")
}

func TestSpoiltMessages(t *testing.T) {
	sound := append([]byte{0xcc}, golden(t, "artrdm-deviceinfo-response")...)
	spoil := func(change func(b []byte) []byte) []byte { return change(append([]byte(nil), sound...)) }
	for _, tt := range []struct {
		name string
		b    []byte
		want error
	}{
		{"nothing", nil, rdm.ErrStart},
		{"another START code", spoil(func(b []byte) []byte { b[0] = 0; return b }), rdm.ErrStart},
		{"another sub-START code", spoil(func(b []byte) []byte { b[1] = 2; return b }), rdm.ErrStart},
		{"cut off", sound[:len(sound)-1], rdm.ErrShort},
		{"a wrong length", spoil(func(b []byte) []byte { b[23]++; return b }), rdm.ErrLength},
		{"one bit of data", spoil(func(b []byte) []byte { b[30] ^= 1; return b }), rdm.ErrChecksum},
		{"one bit of the checksum", spoil(func(b []byte) []byte { b[len(b)-1] ^= 1; return b }), rdm.ErrChecksum},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var m rdm.Message
			require.ErrorIs(t, m.Parse(tt.b), tt.want)
		})
	}
	_, err := (&rdm.Message{Data: make([]byte, rdm.MaxData+1)}).AppendBinary(nil)
	require.ErrorIs(t, err, rdm.ErrLength)
}

// A responder's answer to DISC_UNIQUE_BRANCH: 7 bytes 0xFE, 0xAA, then each
// byte of the UID ORed with 0xAA and with 0x55, and the checksum likewise
// (ANSI E1.20 section 7.5.1). Two answers on the line at once are ORed.
func TestBranchReply(t *testing.T) {
	one := rdm.AppendBranchReply(nil, responder)
	require.Len(t, one, rdm.BranchReplySize)
	require.Equal(t, []byte{0xfe, 0xfe, 0xfe, 0xfe, 0xfe, 0xfe, 0xfe, 0xaa, 0x7f | 0xaa, 0x7f | 0x55, 0xf0 | 0xaa, 0xf0 | 0x55}, one[:12])
	for dropped := range 8 {
		got, err := rdm.ParseBranchReply(one[dropped:])
		require.NoError(t, err, "a splitter may take %d bytes of the preamble", dropped)
		require.Equal(t, responder, got)
	}
	two := rdm.AppendBranchReply(nil, rdm.NewUID(0x7ff0, 0x1234))
	for i := range two {
		two[i] |= one[i]
	}
	_, err := rdm.ParseBranchReply(two)
	require.ErrorIs(t, err, rdm.ErrCollision)
}

func TestUIDText(t *testing.T) {
	u, err := rdm.ParseUID(responder.String())
	require.NoError(t, err)
	require.Equal(t, responder, u)
	for _, text := range []string{"", "7ff0", "7ff0:zz", "7ff0:000000012"} {
		_, err := rdm.ParseUID(text)
		require.Error(t, err, "%q", text)
	}
}

// FuzzMessage: what parses is written again byte for byte, and so is the
// parameter in it.
func FuzzMessage(f *testing.F) {
	for _, name := range []string{"artrdm-get-deviceinfo", "artrdm-deviceinfo-response", "artrdm-nack"} {
		f.Add(append([]byte{0xcc}, golden(f, name)...))
	}
	// Seeds of every parameter, class and length that decodes.
	for pid := range 0x1100 {
		for _, class := range []rdm.Class{0x10, 0x11, 0x20, 0x21, 0x30, 0x31} {
			for n := range 40 {
				m := rdm.Message{Destination: asker, Source: responder, Class: class, PID: rdm.PID(pid), Data: []byte("\x01\x02\x00\x03ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmn")[:n]}
				if _, err := m.Decode(); err == nil {
					b, err := m.AppendBinary(nil)
					require.NoError(f, err)
					f.Add(b)
				}
			}
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var m rdm.Message
		if m.Parse(b) != nil {
			return
		}
		again, err := m.AppendBinary(nil)
		require.NoError(t, err)
		var back rdm.Message
		require.NoError(t, back.Parse(again))
		require.Equal(t, m.String(), back.String())
		require.Equal(t, b[:len(again)], again)
		data, err := m.Decode()
		if err != nil {
			return
		}
		written, err := data.AppendBinary(nil)
		if err != nil {
			require.ErrorIs(t, err, rdm.ErrRule)
			return
		}
		m.Data = written
		same, err := m.Decode()
		require.NoError(t, err)
		require.Equal(t, data, same)
	})
}

func TestMessageAllocs(t *testing.T) {
	b := append([]byte{0xcc}, golden(t, "artrdm-deviceinfo-response")...)
	var m rdm.Message
	require.NoError(t, m.Parse(b))
	out := make([]byte, 0, rdm.MaxSize)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		_ = m.Parse(b)
		_, _ = m.AppendBinary(out)
	}))
}
