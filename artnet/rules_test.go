package artnet_test

import (
	"errors"
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

const artNet = "Art-Net\x00"

// with is b with other values at a place; it leaves b alone.
func with(b []byte, at int, values ...byte) []byte {
	b = append([]byte(nil), b...)
	copy(b[at:], values)
	return b
}

// What a receiver takes and refuses; the rules are the ones of the Art-Net 4
// specification, "General rules" and the section of each packet.
func TestParseRules(t *testing.T) {
	poll := outside.Golden(t, "artpoll-targeted")
	reply := outside.Golden(t, "artpollreply-node")
	dmx := outside.Golden(t, "artdmx-even")
	sync := outside.Golden(t, "artsync")
	for _, c := range []struct {
		name string
		in   []byte
		err  error // nil: taken
	}{
		{"nothing at all", nil, artnet.ErrNotArtNet},
		{"half of the name", []byte("Art-"), artnet.ErrNotArtNet},
		{"another protocol", []byte("ASC-E1.17\x00\x00\x00\x00\x00\x00"), artnet.ErrNotArtNet},
		{"the name without its NUL", []byte("Art-Net!\x00\x50\x00\x0e"), artnet.ErrNotArtNet},
		{"the name alone", []byte(artNet), artnet.ErrShort},
		{"half of an op-code", []byte(artNet + "\x00"), artnet.ErrShort},
		{"op-code high byte first", []byte(artNet + "\x50\x00\x00\x0e\x01\x00\x01\x00\x00\x02\x00\x00"), artnet.ErrOpCode},
		{"a packet not decoded here, ArtInput", []byte(artNet + "\x00\x70\x00\x0e"), artnet.ErrOpCode},

		{"poll of 14 bytes", poll[:14], nil},
		{"poll of 13 bytes", poll[:13], artnet.ErrShort},
		{"poll with bytes after it", append(poll[:22:22], 1, 2, 3), nil},
		{"poll of version 13", with(poll, 10, 0, 13), artnet.ErrVersion},
		{"poll of version 15", with(poll, 10, 0, 15), nil},
		{"version low byte first is a high version", with(poll, 10, 14, 0), nil},

		{"reply of 207 bytes", reply[:207], nil},
		{"reply of 206 bytes", reply[:206], artnet.ErrShort},
		{"reply of 213 bytes", reply[:213], nil},
		{"reply with bytes after it", append(reply[:239:239], 1), nil},

		{"dmx without slots", dmx[:18], artnet.ErrLength},
		{"dmx without its length", dmx[:17], artnet.ErrShort},
		{"dmx of length 0", with(dmx, 16, 0, 0), artnet.ErrLength},
		{"dmx of length 2", with(dmx, 16, 0, 2), nil},
		{"dmx of length 3", with(dmx, 16, 0, 3), artnet.ErrLength},
		{"dmx of length 6 with 4 slots", with(dmx, 16, 0, 6), artnet.ErrLength},
		{"dmx of length 514", with(append(dmx[:18:18], ramp(514)...), 16, 2, 2), artnet.ErrLength},
		{"dmx of length 512", with(append(dmx[:18:18], ramp(512)...), 16, 2, 0), nil},
		{"dmx with slots after its length", append(dmx[:22:22], 9, 9), nil},
		{"dmx of version 0", with(dmx, 10, 0, 0), artnet.ErrVersion},

		{"sync of 14 bytes", sync, nil},
		{"sync without Aux1 and Aux2", sync[:12], nil},
		{"sync without a version", sync[:11], artnet.ErrShort},
		{"sync of version 13", with(sync, 11, 13), artnet.ErrVersion},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := artnet.Parse(c.in)
			require.ErrorIs(t, err, c.err)
			require.Equal(t, c.err == nil, p != nil)
		})
	}
}

func TestMissingFieldsAreZero(t *testing.T) {
	var poll artnet.Poll
	require.NoError(t, poll.Parse(outside.Golden(t, "artpoll-targeted")[:15]), "half of TargetTop")
	require.Equal(t, artnet.Poll{Flags: artnet.PollTargeted | artnet.PollReplyOnChange, DiagPriority: artnet.DiagLow}, poll)

	var whole, short artnet.PollReply
	require.NoError(t, whole.Parse(outside.Golden(t, "artpollreply-node")))
	require.NoError(t, short.Parse(outside.Golden(t, "artpollreply-node")[:207]))
	want := whole
	want.BindIP, want.BindIndex, want.Status2 = netip.IPv4Unspecified(), 0, 0
	want.GoodOutputB, want.Status3, want.DefaultRespUID, want.RefreshRate = [4]uint8{}, 0, [6]byte{}, 0
	require.Equal(t, want, short)
}

func TestParseLeavesNothingOfTheLastPacket(t *testing.T) {
	var p artnet.Poll
	require.NoError(t, p.Parse(outside.Golden(t, "artpoll-targeted")))
	require.NoError(t, p.Parse(outside.Golden(t, "artpoll")[:14]))
	require.Equal(t, artnet.Poll{Flags: artnet.PollReplyOnChange, DiagPriority: artnet.DiagLow}, p)

	var d artnet.Dmx
	require.NoError(t, d.Parse(outside.Golden(t, "artdmx-512")))
	require.NoError(t, d.Parse(outside.Golden(t, "artdmx-even")))
	require.Equal(t, artnet.Dmx{Sequence: 1, PortAddress: 291, Data: []byte{0xff, 0x80, 0x40, 1}}, d)
	before := d
	require.Error(t, d.Parse(outside.Golden(t, "artdmx-odd-illegal")))
	require.Equal(t, before, d, "a refused packet changes nothing")
}

func TestParseOtherPacket(t *testing.T) {
	require.ErrorIs(t, new(artnet.Dmx).Parse(outside.Golden(t, "artsync")), artnet.ErrOpCode)
	require.ErrorContains(t, new(artnet.Sync).Parse(outside.Golden(t, "artdmx-even")), "got ArtDmx, need ArtSync")
}

func TestDmxAliasesItsInput(t *testing.T) {
	in := outside.Golden(t, "artdmx-even")
	var d artnet.Dmx
	require.NoError(t, d.Parse(in))
	in[18] = 7
	require.Equal(t, byte(7), d.Data[0])
	_ = append(d.Data, 99)
	require.Len(t, in, 22, "appending to Data writes elsewhere")
	require.Equal(t, cap(d.Data), len(d.Data))
}

func TestAppendRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		packet artnet.Packet
		err    error
	}{
		{"no slots", &artnet.Dmx{}, artnet.ErrLength},
		{"513 slots", &artnet.Dmx{Data: make([]byte, 513)}, artnet.ErrLength},
		{"port-address of 16 bits", &artnet.Dmx{PortAddress: 0x8000, Data: make([]byte, 2)}, artnet.ErrPortAddress},
		{"target of 16 bits", &artnet.Poll{TargetTop: 0x8000}, artnet.ErrPortAddress},
		{"short name of 18 bytes", &artnet.PollReply{ShortName: strings.Repeat("x", 18)}, artnet.ErrText},
		{"long name of 64 bytes", &artnet.PollReply{LongName: strings.Repeat("x", 64)}, artnet.ErrText},
		{"report with a NUL", &artnet.PollReply{NodeReport: "a\x00b"}, artnet.ErrText},
		{"IPv6", &artnet.PollReply{IP: netip.IPv6Loopback()}, artnet.ErrAddress},
		{"IPv6 root", &artnet.PollReply{BindIP: netip.IPv6Loopback()}, artnet.ErrAddress},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := c.packet.AppendBinary([]byte("kept"))
			require.ErrorIs(t, err, c.err)
			require.Equal(t, "kept", string(b))
		})
	}
}

func TestMeaninglessBitsAreDropped(t *testing.T) {
	b, err := (&artnet.Poll{Flags: 0xff}).AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, byte(0x3e), b[12], "ArtPoll Flags: bits 0, 6 and 7 are sent as 0")

	in := outside.Golden(t, "artpollreply-node")
	in[18], in[19], in[190] = 0x81, 0xf2, 0xf3 // as some devices send their switches
	var r artnet.PollReply
	require.NoError(t, r.Parse(in))
	require.Equal(t, []artnet.PortAddress{291}, r.Outputs(nil))
}

func TestPollReplyPorts(t *testing.T) {
	r := artnet.PollReply{
		NetSwitch: 1, SubSwitch: 2, NumPorts: 0, // NumPorts may be ignored
		PortTypes: [4]uint8{artnet.PortOutput, artnet.PortInput, artnet.PortOutput | artnet.PortInput, 0},
		SwOut:     [4]uint8{1, 2, 3, 4},
		SwIn:      [4]uint8{5, 6, 7, 8},
	}
	require.Equal(t, []artnet.PortAddress{0x121, 0x123}, r.Outputs(nil))
	require.Equal(t, []artnet.PortAddress{0x126, 0x127}, r.Inputs(nil))
}

func TestPollAsks(t *testing.T) {
	everyone := artnet.Poll{TargetTop: 5, TargetBottom: 3}
	require.True(t, everyone.Asks(9), "the range counts only in targeted mode")
	some := artnet.Poll{Flags: artnet.PollTargeted, TargetTop: 5, TargetBottom: 3}
	for a, want := range map[artnet.PortAddress]bool{2: false, 3: true, 4: true, 5: true, 6: false} {
		require.Equal(t, want, some.Asks(a), "port-address %d", a)
	}
}

func TestPortAddress(t *testing.T) {
	// Port-Address = Net<<8 | Sub-Net<<4 | Universe; 291 and 32512 are in the golden packets.
	for text, want := range map[string]artnet.PortAddress{
		"1:2:3": 291, "127:0:0": 32512, "0:0:0": 0, "127:15:15": 32767, "0:0:1": 1,
	} {
		got, err := artnet.ParsePortAddress(text)
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, text, got.String())
		require.Equal(t, want, artnet.NewPortAddress(got.Net(), got.Sub(), got.Universe()))
	}
	got, err := artnet.ParsePortAddress("291")
	require.NoError(t, err)
	require.Equal(t, artnet.PortAddress(291), got)
	for _, text := range []string{"", "x", "-1", "32768", "128:0:0", "0:16:0", "0:0:16", "0:0", "0:0:0:0", "0::1", "+1:0:0", " 1"} {
		_, err := artnet.ParsePortAddress(text)
		require.ErrorIs(t, err, artnet.ErrPortAddress, "%q", text)
	}
}

func TestSequence(t *testing.T) {
	seen := make(map[uint8]bool)
	s := uint8(0)
	for range 255 {
		s = artnet.NextSequence(s)
		seen[s] = true
	}
	require.Len(t, seen, 255)
	require.False(t, seen[0], "0 would say that nobody counts")
	require.Equal(t, uint8(1), artnet.NextSequence(255))

	// ANSI E1.31 section 6.7: dropped when -20 < diff <= 0.
	for _, c := range []struct {
		last, got uint8
		dropped   bool
	}{
		{10, 11, false}, {10, 10, true}, {10, 9, true}, {255, 1, false}, {1, 255, true},
		{100, 81, true}, {100, 80, false}, {100, 227, false}, {0, 5, false}, {5, 0, false}, {250, 3, false},
	} {
		require.Equal(t, c.dropped, artnet.Overtaken(c.last, c.got), "%d after %d", c.got, c.last)
	}
}

func TestNames(t *testing.T) {
	require.Equal(t, "ArtPollReply", artnet.OpPollReply.String())
	require.Equal(t, "0x1234", artnet.OpCode(0x1234).String())
	require.Equal(t, "controller", artnet.StyleController.String())
	require.Equal(t, "style 7", artnet.Style(7).String())
	for _, g := range goldenPackets {
		require.True(t, strings.HasPrefix(g.packet.OpCode().String(), "Art"))
	}
	_, err := artnet.Parse([]byte(artNet + "\x00\xf8\x00\x0e"))
	require.ErrorContains(t, err, "ArtIpProg")
	require.True(t, errors.Is(err, artnet.ErrOpCode))
}
