package artnet_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

// What a receiver takes and refuses of the packets that set up, tell time and
// carry RDM. Each row names the section of the Art-Net 4 specification that
// decides it; "General" is its rules for all packets: a least length, missing
// fields are 0, bytes after a packet are ignored.
func TestParseManagingRules(t *testing.T) {
	address, code, trigger := outside.Golden(t, "artaddress-failhold"), outside.Golden(t, "arttimecode"), outside.Golden(t, "arttrigger-macro")
	diag, request, data := outside.Golden(t, "artdiagdata"), outside.Golden(t, "arttodrequest"), outside.Golden(t, "arttoddata")
	control, rdm := outside.Golden(t, "arttodcontrol-flush"), outside.Golden(t, "artrdm-get-deviceinfo")
	for _, c := range []struct {
		section, name string
		in            []byte
		err           error
	}{
		{"ArtAddress", "106 bytes: a missing switch would be reset", address[:106], artnet.ErrShort},
		{"General", "ArtAddress with bytes after it", append(address[:107:107], 1), nil},
		{"ArtAddress", "priority 201 sets none", with(address, 105, 201), nil},

		{"ArtTimeCode", "18 bytes: no type", code[:18], artnet.ErrShort},
		{"ArtTimeCode", "frame 24 of 25", with(code, 14, 24), nil},
		{"ArtTimeCode", "frame 25 of 25", with(code, 14, 25), artnet.ErrTime},
		{"ArtTimeCode", "frame 24 of film", with(with(code, 14, 24), 18, 0), artnet.ErrTime},
		{"ArtTimeCode", "frame 29 of drop-frame", with(with(code, 14, 29), 18, 2), nil},
		{"ArtTimeCode", "frame 30 of SMPTE", with(with(code, 14, 30), 18, 3), artnet.ErrTime},
		{"ArtTimeCode", "second 60", with(code, 15, 60), artnet.ErrTime},
		{"ArtTimeCode", "minute 60", with(code, 16, 60), artnet.ErrTime},
		{"ArtTimeCode", "hour 23", with(code, 17, 23), nil},
		{"ArtTimeCode", "hour 24", with(code, 17, 24), artnet.ErrTime},
		{"ArtTimeCode", "type 4", with(code, 18, 4), artnet.ErrTime},
		{"ArtTimeCode", "a stream", with(code, 13, 7), nil},

		{"ArtTrigger", "no payload", trigger[:18], nil},
		{"ArtTrigger", "no key", trigger[:17], artnet.ErrShort},
		{"General", "ArtTrigger with bytes after it", append(trigger[:530:530], 9), nil},

		{"ArtDiagData", "no text", diag[:18], nil},
		{"ArtDiagData", "no length", diag[:17], artnet.ErrShort},
		{"ArtDiagData", "a length over the packet", with(diag, 16, 2, 0), nil},

		{"ArtTodRequest", "one address and 25 bytes", request[:25], nil},
		{"ArtTodRequest", "one address and 24 bytes", request[:24], artnet.ErrCount},
		{"ArtTodRequest", "32 addresses", with(request, 23, 32), nil},
		{"ArtTodRequest", "33 addresses", with(append(request[:56:56], 0), 23, 33), artnet.ErrCount},
		{"ArtTodRequest", "no count", request[:23], artnet.ErrShort},

		{"ArtTodData", "no UIDs", with(data[:28], 27, 0), nil},
		{"ArtTodData", "two UIDs said, one there", data[:39], artnet.ErrCount},
		{"ArtTodData", "200 UIDs", with(append(data[:28:28], make([]byte, 1200)...), 27, 200), nil},
		{"ArtTodData", "201 UIDs", with(append(data[:28:28], make([]byte, 1206)...), 27, 201), artnet.ErrCount},
		{"ArtTodData", "no count", data[:27], artnet.ErrShort},

		{"ArtTodControl", "23 bytes", control[:23], artnet.ErrShort},
		{"ArtRdm", "the shortest message", rdm, nil},
		{"ArtRdm", "a message of 24 bytes", rdm[:48], artnet.ErrShort},
		{"General", "ArtRdm of version 13", with(rdm, 11, 13), artnet.ErrVersion},
	} {
		t.Run(c.section+" "+c.name, func(t *testing.T) {
			p, err := artnet.Parse(c.in)
			require.ErrorIs(t, err, c.err)
			require.Equal(t, c.err == nil, p != nil)
		})
	}
}

func TestAppendRefusesManaging(t *testing.T) {
	for _, c := range []struct {
		section, name string
		packet        artnet.Packet
		err           error
	}{
		{"ArtAddress", "short name of 18 bytes", &artnet.Address{ShortName: strings.Repeat("x", 18)}, artnet.ErrText},
		{"ArtAddress", "long name of 64 bytes", &artnet.Address{LongName: strings.Repeat("x", 64)}, artnet.ErrText},
		{"ArtAddress", "priority 201", &artnet.Address{SetPriority: true, AcnPriority: 201}, artnet.ErrPriority},
		{"ArtTimeCode", "hour 24", &artnet.TimeCode{Hours: 24}, artnet.ErrTime},
		{"ArtTimeCode", "type 4", &artnet.TimeCode{Type: 4}, artnet.ErrTime},
		{"ArtTrigger", "513 bytes", &artnet.Trigger{Data: make([]byte, 513)}, artnet.ErrCount},
		{"ArtDiagData", "text of 512 bytes", &artnet.DiagData{Text: strings.Repeat("x", 512)}, artnet.ErrText},
		{"ArtDiagData", "text with a NUL", &artnet.DiagData{Text: "a\x00b"}, artnet.ErrText},
		{"ArtTodRequest", "33 addresses", &artnet.TodRequest{Addresses: make([]uint8, 33)}, artnet.ErrCount},
		{"ArtTodData", "201 UIDs", &artnet.TodData{UIDs: make([][6]byte, 201)}, artnet.ErrCount},
		{"ArtTodData", "port-address of 16 bits", &artnet.TodData{PortAddress: 0x8000}, artnet.ErrPortAddress},
		{"ArtTodControl", "port-address of 16 bits", &artnet.TodControl{PortAddress: 0x8000}, artnet.ErrPortAddress},
		{"ArtRdm", "port-address of 16 bits", &artnet.Rdm{PortAddress: 0x8000, Message: make([]byte, 25)}, artnet.ErrPortAddress},
		{"ArtRdm", "message of 24 bytes", &artnet.Rdm{Message: make([]byte, 24)}, artnet.ErrCount},
		{"ArtRdm", "message of 257 bytes", &artnet.Rdm{Message: make([]byte, 257)}, artnet.ErrCount},
	} {
		t.Run(c.section+" "+c.name, func(t *testing.T) {
			b, err := c.packet.AppendBinary([]byte("kept"))
			require.ErrorIs(t, err, c.err)
			require.Equal(t, "kept", string(b))
		})
	}
}

// Art-Net 4, ArtAddress: a switch is written only with bit 7, 0 resets it, 0x7f
// leaves it; 255 leaves the priority; a name that starts with NUL is left.
func TestAddressChangesOnlyWhatItSays(t *testing.T) {
	b, err := (&artnet.Address{}).AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, byte(0x7f), b[12])
	require.Equal(t, append(bytes.Repeat([]byte{0x7f}, 9), 255, 0), b[96:107])
	require.Equal(t, make([]byte, 82), b[14:96], "both names")

	b, err = (&artnet.Address{
		NetSwitch: artnet.SwitchTo(0x7f), BindIndex: 3, ShortName: "key left", SwIn: [4]artnet.Switch{2: artnet.SwitchReset},
		SwOut: [4]artnet.Switch{artnet.SwitchTo(0), artnet.SwitchTo(15)}, SubSwitch: artnet.SwitchTo(4), SetPriority: true, Command: artnet.CommandRDMOff,
	}).AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, []byte{0xff, 3}, b[12:14])
	require.Equal(t, "key left\x00", string(b[14:23]))
	require.Equal(t, []byte{0x7f, 0x7f, 0, 0x7f, 0x80, 0x8f, 0x7f, 0x7f, 0x84, 0, 0xd0}, b[96:107])

	var a artnet.Address
	require.NoError(t, a.Parse(with(b, 12, 0x01)))
	require.Equal(t, artnet.SwitchKeep, a.NetSwitch, "a number without bit 7 is not written")
	require.NoError(t, a.Parse(with(b, 100, 0xf3)))
	require.Equal(t, artnet.SwitchTo(3), a.SwOut[0], "universes have 4 bits")
	for s, want := range map[artnet.Switch]string{artnet.SwitchKeep: "keep", artnet.SwitchReset: "reset", artnet.SwitchTo(9): "9", artnet.SwitchTo(0): "0"} {
		require.Equal(t, want, s.String())
	}
}

func TestTodRequestAsks(t *testing.T) {
	r := artnet.TodRequest{Net: 1, Addresses: []uint8{0x23, 0x24}}
	for a, want := range map[artnet.PortAddress]bool{0x123: true, 0x124: true, 0x125: false, 0x023: false, 0x223: false} {
		require.Equal(t, want, r.Asks(a), "port-address %v", a)
	}
	require.False(t, (&artnet.TodRequest{}).Asks(0))
}

// Art-Net 4, ArtTodData: at most 200 UIDs a packet, blocks from 0, the total in
// each; physical port = (BindIndex-1) * NumPorts + Port.
func TestTodBlocks(t *testing.T) {
	head := artnet.TodData{Port: 1, BindIndex: 2, PortAddress: 291, Response: artnet.TodResponseNak, Total: 9, Block: 9}
	uids := make([][6]byte, 450)
	for i := range uids {
		uids[i] = [6]byte{0x7f, 0xf0, 0, 0, byte(i >> 8), byte(i)}
	}
	blocks := artnet.TodBlocks(head, uids)
	require.Len(t, blocks, 3)
	var back [][6]byte
	var used artnet.TodData
	for i, block := range blocks {
		b, err := block.AppendBinary(nil)
		require.NoError(t, err)
		require.NoError(t, used.Parse(b))
		require.Equal(t, block, used)
		require.Equal(t, uint8(i), used.Block)
		require.Equal(t, uint16(450), used.Total)
		require.Equal(t, artnet.TodResponseFull, used.Response)
		back = append(back, used.UIDs...)
	}
	require.Equal(t, uids, back)

	require.Equal(t, []artnet.TodData{{Port: 1, BindIndex: 2, PortAddress: 291}}, artnet.TodBlocks(head, nil), "an empty table is a packet")
	require.Len(t, artnet.TodBlocks(head, make([][6]byte, 70000)), 256, "a block number has 8 bits")
	require.Equal(t, uint16(65535), artnet.TodBlocks(head, make([][6]byte, 70000))[0].Total)

	require.Equal(t, 5, (&artnet.TodData{BindIndex: 2, Port: 1}).PhysicalPort(4))
	require.Equal(t, 1, (&artnet.TodData{BindIndex: 0, Port: 1}).PhysicalPort(4), "0 is read as the root")
}

// SMPTE ST 12-1: frames 0 and 1 of every minute but each tenth are left out.
func TestSkippedFrames(t *testing.T) {
	for _, c := range []struct {
		code    artnet.TimeCode
		skipped bool
	}{
		{artnet.TimeCode{Minutes: 1, Type: artnet.TimeCodeDF}, true},
		{artnet.TimeCode{Minutes: 1, Frames: 1, Type: artnet.TimeCodeDF}, true},
		{artnet.TimeCode{Minutes: 1, Frames: 2, Type: artnet.TimeCodeDF}, false},
		{artnet.TimeCode{Minutes: 10, Type: artnet.TimeCodeDF}, false},
		{artnet.TimeCode{Minutes: 1, Seconds: 1, Type: artnet.TimeCodeDF}, false},
		{artnet.TimeCode{Minutes: 1, Type: artnet.TimeCodeSMPTE}, false},
	} {
		require.Equal(t, c.skipped, c.code.Skipped(), "%v", &c.code)
		_, err := c.code.AppendBinary(nil)
		require.NoError(t, err)
	}
}

func TestManagingPacketsLeaveNothingOfTheLast(t *testing.T) {
	var trigger artnet.Trigger
	in := with(outside.Golden(t, "arttrigger-macro"), 18, 1, 0, 2)
	require.NoError(t, trigger.Parse(in))
	require.Equal(t, []byte{1, 0, 2}, trigger.Data, "zeros at the end of the payload are not data")
	in[18] = 9
	require.Equal(t, byte(9), trigger.Data[0], "Data is a part of the input")
	require.NoError(t, trigger.Parse(outside.Golden(t, "arttrigger-macro")))
	require.Nil(t, trigger.Data)

	var r artnet.Rdm
	require.NoError(t, r.Parse(append(outside.Golden(t, "artrdm-nack"), bytes.Repeat([]byte{7}, 300)...)))
	require.Len(t, r.Message, 256, "no message is longer")
	in = outside.Golden(t, "artrdm-get-deviceinfo")
	in[19], in[20] = 3, 8
	require.NoError(t, r.Parse(in))
	require.Equal(t, [2]uint8{3, 8}, [2]uint8{r.FifoAvail, r.FifoMax})
	in[24] = 9
	require.Equal(t, byte(9), r.Message[0], "Message is a part of the input")

	var d artnet.TodData
	in = outside.Golden(t, "arttoddata")
	require.NoError(t, d.Parse(in))
	in[28] = 9
	require.Equal(t, byte(0x7f), d.UIDs[0][0], "UIDs are copied")
	kept := d
	require.Error(t, d.Parse(in[:39]))
	require.Equal(t, kept, d, "a refused packet changes nothing")

	var diag artnet.DiagData
	in = outside.Golden(t, "artdiagdata")
	require.NoError(t, diag.Parse(with(in, 16, 0, 3)))
	require.Equal(t, "Out", diag.Text, "the text ends at Length")
	require.NoError(t, diag.Parse(with(in, 16, 0xff, 0xff)))
	require.Equal(t, "Output 1 lost", diag.Text, "and at its NUL")
	require.NoError(t, diag.Parse(in[:20]))
	require.Equal(t, "Ou", diag.Text, "and with the packet")
}

// One line of each kind for a log.
func TestPacketsInWords(t *testing.T) {
	for file, want := range map[string]string{
		"artpoll":                 "ArtPoll of everyone, flags 0x02",
		"artpoll-targeted":        "ArtPoll of 0:0:1 to 0:1:0, flags 0x22",
		"artpollreply-node":       `ArtPollReply 192.0.2.23 "bench-node", node, page 1, out [1:2:3], in []`,
		"artpollreply-controller": `ArtPollReply 192.0.2.10 "bench-ctl", controller, page 1, out [], in [0:0:1]`,
		"artdmx-even":             "ArtDmx 1:2:3, sequence 1, 4 slots",
		"artaddress-failhold":     `ArtAddress page 1: hold on data loss, net keep, sub-net keep, in [keep keep keep keep], out [keep keep keep keep], names "" ""`,
		"arttimecode":             "01:02:03:04",
		"arttrigger-macro":        "ArtTrigger macro 5",
		"artdiagdata":             `ArtDiagData high, port 1: "Output 1 lost"`,
		"arttodrequest":           "ArtTodRequest command 0 for [1:2:3]",
		"arttoddata":              "ArtTodData 1:2:3 page 1 port 1: block 0, 2 of 2 devices",
		"arttodcontrol-flush":     "ArtTodControl 1:2:3: flush and discover",
		"artrdm-nack":             "ArtRdm 1:2:3: 27 bytes, queue 0 of 0 free",
	} {
		p, err := artnet.Parse(outside.Golden(t, file))
		require.NoError(t, err)
		require.Equal(t, want, fmt.Sprint(p))
	}
	require.Equal(t, "00:01:00;02", (&artnet.TimeCode{Minutes: 1, Frames: 2, Type: artnet.TimeCodeDF}).String())
	require.Equal(t, "ArtTrigger for OEM 0x1234: key 1, 2, 1 bytes", (&artnet.Trigger{Oem: 0x1234, Key: 1, SubKey: 2, Data: []byte{1}}).String())
	require.Equal(t, "ArtTodData 0:0:1: no table yet", (&artnet.TodData{PortAddress: 1, Response: artnet.TodResponseNak}).String())
	for c, want := range map[artnet.AddressCommand]string{
		0x0a: "full on data loss", 0x13: "merge LTP, port 4", 0x90: "clear output", 0x91: "clear output, port 2", 0xe3: "background queue policy 3",
		0x0d: "command 0x0d", 0x43: "command 0x43",
	} {
		require.Equal(t, want, c.String())
	}
	for got, want := range map[fmt.Stringer]string{
		artnet.TimeCodeFilm: "24", artnet.TimeCodeType(9): "type 9", artnet.TriggerKey(9): "key 9", artnet.DiagVolatile: "volatile",
		artnet.DiagPriority(1): "priority 0x01", artnet.TodControlEnd: "end discovery", artnet.TodControlCommand(9): "command 9",
	} {
		require.Equal(t, want, got.String())
	}
}
