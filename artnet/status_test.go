package artnet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
)

// The bits are those of the Art-Net 4 specification, section "ArtPollReply",
// fields PortTypes, GoodInput, GoodOutputA and GoodOutputB.
func TestPortsOfAReply(t *testing.T) {
	r := artnet.PollReply{
		NetSwitch: 1, SubSwitch: 2,
		PortTypes:   [4]uint8{0x80, 0xc0, 0x40, 0x86},
		SwIn:        [4]uint8{9, 4, 5, 9},
		SwOut:       [4]uint8{3, 6, 9, 7},
		GoodOutputA: [4]uint8{0x88, 0x0e, 0xff, 0x01},
		GoodOutputB: [4]uint8{0x80, 0, 0xff, 0},
		GoodInput:   [4]uint8{0xff, 0x80, 0x0d, 0xff},
	}
	require.Equal(t, []artnet.ReplyPort{
		{Address: 0x123, Output: true, Active: true, Merging: true, NoRDM: true},
		{Address: 0x126, Output: true, Merging: true, Shorted: true, Latest: true},
		{Address: 0x124, Active: true},
		{Address: 0x125, Disabled: true, Errors: true, ToSACN: true},
		{Address: 0x127, Output: true, Protocol: artnet.ProtocolDALI, FromSACN: true},
	}, r.Ports(nil))
	require.Equal(t, r.Outputs(nil), []artnet.PortAddress{0x123, 0x126, 0x127})
}

func TestWordsOfAPort(t *testing.T) {
	for _, c := range []struct {
		port artnet.ReplyPort
		want []string
	}{
		{artnet.ReplyPort{Output: true}, []string{"no data"}},
		{artnet.ReplyPort{Output: true, Active: true, Merging: true}, []string{"putting out data", "merging two sources, the highest counts"}},
		{artnet.ReplyPort{Output: true, Active: true, Merging: true, Latest: true}, []string{"putting out data", "merging two sources, the latest counts"}},
		{artnet.ReplyPort{Output: true, Latest: true, Shorted: true, FromSACN: true, NoRDM: true}, []string{"no data", "short-circuited when it was switched on", "follows sACN, not Art-Net", "RDM off"}},
		{artnet.ReplyPort{Protocol: artnet.ProtocolMIDI, Active: true, Errors: true}, []string{"MIDI", "taking in data", "errors on reception"}},
		{artnet.ReplyPort{Protocol: 3, Disabled: true, ToSACN: true}, []string{"protocol 3", "input switched off", "makes sACN, not Art-Net"}},
	} {
		require.Equal(t, c.want, c.port.Words())
	}
}

// One bit at a time: Status1, Status2 and Status3 as the specification numbers
// their bits.
func TestStatusWords(t *testing.T) {
	for _, c := range []struct {
		name       string
		s1, s2, s3 uint8
		want       []string
	}{
		{"nothing", 0, 0x08, 0, nil},
		{"booted from ROM", 0x04, 0x08, 0, []string{"started from ROM, as after a failed update"}},
		{"authority local", 0x10, 0x08, 0, []string{"port-address set at the device"}},
		{"authority network", 0x20, 0x08, 0, []string{"port-address set over the network"}},
		{"authority unused", 0x30, 0x08, 0, nil},
		{"RDM", 0x02, 0x08, 0, []string{"RDM"}},
		{"web", 0, 0x09, 0, []string{"has a web page"}},
		{"DHCP", 0, 0x0a, 0, []string{"IP address by DHCP"}},
		{"DHCP capable only", 0, 0x0c, 0, nil},
		{"8-bit", 0, 0x00, 0, []string{"knows 8-bit port-addresses only"}},
		{"sACN", 0, 0x18, 0, []string{"can follow sACN"}},
		{"squawking", 0, 0x28, 0, []string{"squawking"}},
		{"fail-safe without fail-over", 0, 0x08, 0x80, nil},
		{"hold", 0, 0x08, 0x20, []string{"holds when data stops"}},
		{"zero", 0, 0x08, 0x60, []string{"goes to zero when data stops"}},
		{"full", 0, 0x08, 0xa0, []string{"goes to full when data stops"}},
		{"scene", 0, 0x08, 0xe0, []string{"plays a scene when data stops"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want, (&artnet.PollReply{Status1: c.s1, Status2: c.s2, Status3: c.s3}).StatusWords())
		})
	}
	for bits, want := range []string{"unknown", "locate", "mute", "normal"} {
		require.Equal(t, want, (&artnet.PollReply{Status1: uint8(bits<<6) | 0x3f}).Indicators().String())
	}
}

func TestReadNodeReport(t *testing.T) {
	code, count, words, ok := artnet.ReadNodeReport(artnet.NodeReport(1, 12345, "Running"))
	require.True(t, ok)
	require.Equal(t, uint16(1), code)
	require.Equal(t, uint64(2345), count)
	require.Equal(t, "Running", words)
	for _, bad := range []string{"", "ready", "#1 [1] x", "#0001", "#0001 [x] y", "#zzzz [0001] y", "#0001 [0001", "#00001 [1] x"} {
		_, _, _, ok := artnet.ReadNodeReport(bad)
		require.False(t, ok, "%q", bad)
		require.Empty(t, artnet.ReportTrouble(bad))
	}
	// Codes of the specification's table: RcPowerOk, RcShNameOk, RcLoNameOk and
	// RcDebug are no trouble, RcPowerFail and RcOutputShort are.
	for _, fine := range []string{"#0000 [1] x", "#0001 [1] x", "#0006 [1] x", "#0007 [1] x", "#0010 [1] x"} {
		require.Empty(t, artnet.ReportTrouble(fine), fine)
	}
	require.Equal(t, "its power-on tests failed", artnet.ReportTrouble("#0002 [0001] x"))
	require.Equal(t, "an output is short-circuited", artnet.ReportTrouble("#000d [12] "))
	require.Equal(t, "an output is short-circuited", artnet.ReportTrouble("#000D [12]"))
}

func FuzzReadNodeReport(f *testing.F) {
	f.Add("#0001 [0001] Running")
	f.Add("#000d [99999] \x00")
	f.Fuzz(func(t *testing.T, text string) {
		code, count, words, ok := artnet.ReadNodeReport(text)
		if !ok || count > 9999 || len(words) > 40 {
			return
		}
		again, n, w, ok := artnet.ReadNodeReport(artnet.NodeReport(code, count, words))
		require.True(t, ok)
		require.Equal(t, code, again)
		require.Equal(t, count, n)
		require.Equal(t, words, w)
	})
}
