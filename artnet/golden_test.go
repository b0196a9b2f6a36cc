package artnet_test

import (
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
)

func ramp(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i)
	}
	return b
}

// goldenPackets is what each file says in its comments.
var goldenPackets = []struct {
	file   string
	packet artnet.Packet
	given  artnet.Packet // what is encoded, if not packet
}{
	{file: "artpoll", packet: &artnet.Poll{
		Flags: artnet.PollReplyOnChange, DiagPriority: artnet.DiagLow, EstaMan: 0x7ff0, Oem: 0x00ff,
	}},
	{file: "artpoll-targeted", packet: &artnet.Poll{
		Flags: artnet.PollTargeted | artnet.PollReplyOnChange, DiagPriority: artnet.DiagLow,
		TargetTop: 16, TargetBottom: 1, EstaMan: 0x7ff0, Oem: 0x00ff,
	}},
	{file: "artpollreply-node", packet: &artnet.PollReply{
		IP: netip.MustParseAddr("192.0.2.23"), Port: 6454, Version: 0x0102, NetSwitch: 1, SubSwitch: 2,
		Oem: 0x00ff, Status1: 0xe2, EstaMan: 0x7ff0, ShortName: "bench-node", LongName: "Bench node, one output port",
		NodeReport: "#0001 [0042] Power On Tests successful", NumPorts: 1, PortTypes: [4]uint8{artnet.PortOutput},
		GoodInput: [4]uint8{8, 8, 8, 8}, GoodOutputA: [4]uint8{artnet.OutputActive}, SwOut: [4]uint8{3}, AcnPriority: 100,
		Style: artnet.StyleNode, MAC: [6]byte{2, 0, 0, 0, 0x5e, 1}, BindIP: netip.MustParseAddr("192.0.2.23"), BindIndex: 1,
		Status2: artnet.Address15Bit, GoodOutputB: [4]uint8{0x60}, Status3: 0x20,
		DefaultRespUID: [6]byte{0x7f, 0xf0, 0, 0, 0, 1}, RefreshRate: 44,
	}},
	{file: "artpollreply-controller", packet: &artnet.PollReply{
		IP: netip.MustParseAddr("192.0.2.10"), Port: 6454, Version: 0x0102, Oem: 0x00ff,
		Status1: artnet.IndicatorsNormal | artnet.AddressLocal, EstaMan: 0x7ff0,
		ShortName: "bench-ctl", LongName: "Controller, one universe sourced", NodeReport: "#0001 [0001] Running",
		NumPorts: 1, PortTypes: [4]uint8{artnet.PortInput}, GoodInput: [4]uint8{artnet.InputReceived}, SwIn: [4]uint8{1},
		Style: artnet.StyleController, MAC: [6]byte{2, 0, 0, 0, 0x5e, 1}, BindIP: netip.MustParseAddr("192.0.2.10"),
		BindIndex: 1, Status2: artnet.Address15Bit,
	}},
	{file: "artdmx-even", packet: &artnet.Dmx{Sequence: 1, PortAddress: 291, Data: []byte{0xff, 0x80, 0x40, 1}}},
	{
		file:   "artdmx-odd-padded",
		packet: &artnet.Dmx{Sequence: 255, PortAddress: 0x7f00, Data: []byte{10, 20, 30, 0}},
		given:  &artnet.Dmx{Sequence: 255, PortAddress: 0x7f00, Data: []byte{10, 20, 30}},
	},
	{file: "artdmx-512", packet: &artnet.Dmx{Sequence: 16, PortAddress: 1, Data: ramp(512)}},
	{file: "artsync", packet: &artnet.Sync{}},
	{file: "artaddress-failhold", packet: &artnet.Address{BindIndex: 1, Command: artnet.CommandFailHold}},
	{file: "arttimecode", packet: &artnet.TimeCode{Hours: 1, Minutes: 2, Seconds: 3, Frames: 4, Type: artnet.TimeCodeEBU}},
	{file: "arttrigger-macro", packet: &artnet.Trigger{Oem: artnet.AnyOem, Key: artnet.TriggerMacro, SubKey: 5}},
	{file: "artdiagdata", packet: &artnet.DiagData{Priority: artnet.DiagHigh, Port: 1, Text: "Output 1 lost"}},
	{file: "arttodrequest", packet: &artnet.TodRequest{Net: 1, Addresses: []uint8{0x23}}},
	{file: "arttoddata", packet: &artnet.TodData{
		Port: 1, BindIndex: 1, PortAddress: 291, Total: 2, UIDs: [][6]byte{{0x7f, 0xf0, 0, 0, 0, 1}, {0x7f, 0xf0, 0, 0, 0, 2}},
	}},
	{file: "arttodcontrol-flush", packet: &artnet.TodControl{PortAddress: 291, Command: artnet.TodControlFlush}},
	{file: "artrdm-get-deviceinfo", packet: &artnet.Rdm{PortAddress: 291, Message: rdmMessage(rdm.Message{
		Destination: rdm.NewUID(0x7ff0, 1), Source: rdm.NewUID(0x7ff0, 0x99), Transaction: 7, PortID: 1, Class: rdm.Get, PID: rdm.PIDDeviceInfo,
	}, nil)}},
	{file: "artrdm-deviceinfo-response", packet: &artnet.Rdm{PortAddress: 291, Message: rdmMessage(rdm.Message{
		Destination: rdm.NewUID(0x7ff0, 0x99), Source: rdm.NewUID(0x7ff0, 1), Transaction: 7, Class: rdm.GetResponse, PID: rdm.PIDDeviceInfo,
	}, rdm.DeviceInfo{
		Protocol: rdm.ProtocolVersion, Model: 0x0101, Category: rdm.CategoryFixtureFixed, Software: 0x01020304, Footprint: 6,
		Personality: 2, Personalities: 3, StartAddress: 17, Sensors: 1,
	})}},
	{file: "artrdm-nack", packet: &artnet.Rdm{PortAddress: 291, Message: rdmMessage(rdm.Message{
		Destination: rdm.NewUID(0x7ff0, 0x99), Source: rdm.NewUID(0x7ff0, 1), Transaction: 8, Response: rdm.ResponseNack, Class: rdm.SetResponse,
		PID: rdm.PIDDMXStartAddress,
	}, rdm.NackRange)}},
}

// rdmMessage is a message as ArtRdm carries it.
func rdmMessage(m rdm.Message, data interface{ AppendBinary([]byte) ([]byte, error) }) []byte {
	if data != nil {
		m.Data, _ = data.AppendBinary(nil)
	}
	b, err := m.AppendWithoutStart(nil)
	if err != nil {
		panic(err)
	}
	return b
}

func TestGoldenPackets(t *testing.T) {
	for _, g := range goldenPackets {
		t.Run(g.file, func(t *testing.T) {
			want := outside.Golden(t, g.file)
			got, err := artnet.Parse(want)
			require.NoError(t, err)
			require.Equal(t, g.packet, got)

			given := g.packet
			if g.given != nil {
				given = g.given
			}
			b, err := given.AppendBinary([]byte("before"))
			require.NoError(t, err)
			require.Equal(t, "before", string(b[:6]), "what the buffer held")
			require.Equal(t, want, b[6:])
		})
	}
}

func TestGoldenOddLengthIsRefused(t *testing.T) {
	_, err := artnet.Parse(outside.Golden(t, "artdmx-odd-illegal"))
	require.ErrorIs(t, err, artnet.ErrLength)
	require.ErrorContains(t, err, "got 3")
}

func TestNodeReport(t *testing.T) {
	// The form "#xxxx [yyyy] text" of the NodeReport field; golden packet artpollreply-node.
	require.Equal(t, "#0001 [0042] Power On Tests successful", artnet.NodeReport(1, 42, "Power On Tests successful"))
	require.Equal(t, "#000f [0001] x", artnet.NodeReport(15, 10001, "x"))
	require.Len(t, artnet.NodeReport(1, 1, strings.Repeat("x", 100)), 63)
}
