package artnet_test

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
)

func device() artnet.PollReply {
	return artnet.PollReply{
		IP: netip.MustParseAddr("192.0.2.5"), Port: artnet.Port, ShortName: "eight ports", BindIP: netip.MustParseAddr("192.0.2.5"),
		Status2: artnet.Address15Bit, NumPorts: 4, PortTypes: [4]uint8{9, 9, 9, 9}, SwOut: [4]uint8{9, 9, 9, 9}, BindIndex: 9,
	}
}

// Art-Net 4: more than four ports are told in pages, BindIndex from 1; one port
// a reply is the preferred form.
func TestPagesOfOnePort(t *testing.T) {
	var ports []artnet.DevicePort
	for a := artnet.PortAddress(14); a < 22; a++ { // over the end of a sub-net
		ports = append(ports, artnet.DevicePort{PortAddress: a, Type: artnet.PortOutput, GoodOutputA: artnet.OutputActive, GoodOutputB: artnet.OutputNoRDM})
	}
	base := device()
	pages, err := base.Pages(nil, ports, 1)
	require.NoError(t, err)
	require.Len(t, pages, 8)
	var outputs []artnet.PortAddress
	for i, p := range pages {
		require.Equal(t, uint8(i+1), p.BindIndex)
		require.Equal(t, i == 0, p.Root())
		require.Equal(t, uint16(1), p.NumPorts)
		require.Equal(t, [4]uint8{artnet.PortOutput}, p.PortTypes)
		require.Equal(t, [4]uint8{artnet.OutputActive}, p.GoodOutputA)
		require.Equal(t, [4]uint8{artnet.OutputNoRDM}, p.GoodOutputB)
		require.Equal(t, "eight ports", p.ShortName)
		require.Equal(t, base.BindIP, p.BindIP)
		b, err := p.AppendBinary(nil)
		require.NoError(t, err)
		var back artnet.PollReply
		require.NoError(t, back.Parse(b))
		require.Equal(t, p, back)
		outputs = back.Outputs(outputs)
	}
	require.Equal(t, []artnet.PortAddress{14, 15, 16, 17, 18, 19, 20, 21}, outputs)
	require.Equal(t, device(), base, "the base stays as it was")
}

func TestPagesOfFourPorts(t *testing.T) {
	base := device()
	ports := []artnet.DevicePort{
		{PortAddress: 13, Type: artnet.PortOutput}, {PortAddress: 14, Type: artnet.PortInput, GoodInput: artnet.InputReceived},
		{PortAddress: 15, Type: artnet.PortInput | artnet.PortOutput}, {PortAddress: 16, Type: artnet.PortOutput},
		{PortAddress: 17, Type: artnet.PortOutput}, {PortAddress: 18}, {PortAddress: 19}, {PortAddress: 20, Type: artnet.PortOutput}, {PortAddress: 276, Type: artnet.PortOutput},
	}
	pages, err := base.Pages([]artnet.PollReply{{ShortName: "before"}}, ports, 4)
	require.NoError(t, err)
	require.Len(t, pages, 5)
	require.Equal(t, "before", pages[0].ShortName)
	pages = pages[1:]
	require.Equal(t, []uint16{3, 4, 1, 1}, []uint16{pages[0].NumPorts, pages[1].NumPorts, pages[2].NumPorts, pages[3].NumPorts},
		"ports of a page share net and sub-net")
	require.Equal(t, []artnet.PortAddress{13, 15}, pages[0].Outputs(nil))
	require.Equal(t, []artnet.PortAddress{14, 15}, pages[0].Inputs(nil))
	require.Equal(t, [4]uint8{1: artnet.InputReceived}, pages[0].GoodInput)
	require.Equal(t, []artnet.PortAddress{16, 17}, pages[1].Outputs(nil))
	require.Equal(t, []artnet.PortAddress{20}, pages[2].Outputs(nil))
	require.Equal(t, []artnet.PortAddress{276}, pages[3].Outputs(nil))
}

func TestPagesEnds(t *testing.T) {
	base := device()
	pages, err := base.Pages(nil, nil, 1)
	require.NoError(t, err)
	require.Len(t, pages, 1, "a device without ports answers too")
	require.Zero(t, pages[0].NumPorts)
	require.Zero(t, pages[0].PortTypes)
	require.Equal(t, uint8(1), pages[0].BindIndex)

	pages, err = base.Pages(nil, make([]artnet.DevicePort, 255), 1)
	require.NoError(t, err)
	require.Equal(t, uint8(255), pages[254].BindIndex)

	dst := []artnet.PollReply{{ShortName: "kept"}}
	for name, c := range map[string]struct {
		ports []artnet.DevicePort
		most  int
		err   error
	}{
		"256 pages":               {make([]artnet.DevicePort, 256), 1, artnet.ErrCount},
		"no ports a page":         {nil, 0, artnet.ErrCount},
		"five ports a page":       {nil, 5, artnet.ErrCount},
		"port-address of 16 bits": {[]artnet.DevicePort{{PortAddress: 0x8000}}, 1, artnet.ErrPortAddress},
	} {
		got, err := base.Pages(dst, c.ports, c.most)
		require.ErrorIs(t, err, c.err, name)
		require.Equal(t, dst, got, name)
	}
}
