package artnet_test

import (
	"bytes"
	"encoding/hex"
	"strings"
	"testing"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

// The packets that set up, tell time and carry RDM. Bytes given by offset are
// those that tshark 4.0.17 shows as filler or not at all: all of ArtTimeCode,
// BindIndex of ArtAddress and ArtTodData, LogicalPort of ArtDiagData (read with
// the filler after it), FifoAvail and FifoMax of ArtRdm.
func TestDissectorReadsOurManagingPackets(t *testing.T) {
	payload := bytes.Repeat([]byte{0xab, 0xcd}, 256)
	dissect(t, artnet.Port, []dissected{
		{"ArtAddress", &artnet.Address{
			NetSwitch: artnet.SwitchTo(5), BindIndex: 7, ShortName: "key left", LongName: strings.Repeat("n", 63),
			SwIn: [4]artnet.Switch{artnet.SwitchTo(1), artnet.SwitchReset}, SwOut: [4]artnet.Switch{3: artnet.SwitchTo(15)},
			SubSwitch: artnet.SwitchTo(6), SetPriority: true, AcnPriority: 200, Command: artnet.CommandMergeHTP,
		}, map[string]string{
			"artnet.header.opcode": "0x6000", "artnet.header.protver": "14",
			"artnet.address.netswitch_special": "", "artnet.address.netswitch_write": "1", "artnet.address.netswitch_net": "5",
			"artnet.address.short_name": "key left", "artnet.address.long_name": strings.Repeat("n", 63),
			"artnet.address.swin_1": "0x81", "artnet.address.swin_2": "0x00", "artnet.address.swin_3": "0x7f", "artnet.address.swin_4": "0x7f",
			"artnet.address.swout_1": "0x7f", "artnet.address.swout_4": "0x8f",
			"artnet.address.subswitch_write": "1", "artnet.address.subswitch_sub": "6",
			"artnet.address.swvideo": "0xc8", "artnet.address.command": "0x50", "artnet.excess_bytes": "",
		}, map[int]string{13: "07"}},
		{"ArtAddress that sets fail-safe", &artnet.Address{BindIndex: 1, Command: artnet.CommandFailScene}, map[string]string{
			"artnet.address.netswitch_special": "0x7f", "artnet.address.subswitch_special": "0x7f", "artnet.address.swvideo": "0xff",
			"artnet.address.short_name": "", "artnet.address.long_name": "", "artnet.address.command": "0x0b",
		}, nil},
		{"ArtTimeCode", &artnet.TimeCode{Stream: 2, Hours: 23, Minutes: 58, Seconds: 57, Frames: 29, Type: artnet.TimeCodeDF},
			map[string]string{"artnet.header.opcode": "0x9700", "artnet.header.protver": "14"}, map[int]string{12: "00" + "02" + "1d" + "39" + "3a" + "17" + "02"}},
		{"ArtTrigger", &artnet.Trigger{Oem: 0x1234, Key: artnet.TriggerShow, SubKey: 99, Data: payload}, map[string]string{
			"artnet.header.opcode": "0x9900", "artnet.trigger.oemcode": "0x1234", "artnet.trigger.key": "0x03", "artnet.trigger.subkey": "0x63",
			"artnet.trigger.data": hex.EncodeToString(payload), "artnet.excess_bytes": "",
		}, nil},
		{"ArtDiagData", &artnet.DiagData{Priority: artnet.DiagCritical, Port: 3, Text: "no data on port 3"}, map[string]string{
			"artnet.header.opcode": "0x2300", "artnet.diag_data.priority": "224", "artnet.diag_data.length": "18",
			"artnet.diag_data.data": "no data on port 3", "artnet.excess_bytes": "",
		}, map[int]string{14: "0300"}},
		{"ArtTodRequest", &artnet.TodRequest{Net: 5, Addresses: ramp(32)}, map[string]string{
			"artnet.header.opcode": "0x8000", "artnet.tod_request.net": "0x05", "artnet.tod_request.command": "0x00", "artnet.tod_request.ad_count": "32",
		}, map[int]string{12: "000000000000000000", 24: hex.EncodeToString(ramp(32))}},
		{"ArtTodData", &artnet.TodData{
			Port: 2, BindIndex: 3, PortAddress: artnet.NewPortAddress(5, 6, 7), Total: 300, Block: 1,
			UIDs: [][6]byte{{0x7f, 0xf0, 0, 0, 0, 1}, {0x7f, 0xf1, 0xde, 0xad, 0xbe, 0xef}},
		}, map[string]string{
			"artnet.header.opcode": "0x8100", "artnet.tod_data.port": "2", "artnet.tod_data.net": "0x05", "artnet.tod_data.command_response": "0x00",
			"artnet.tod_data.address": "0x67", "artnet.tod_data.uid_total": "300", "artnet.tod_data.block_count": "1", "artnet.tod_data.uid_count": "2",
			"artnet.tod_data.tod": "7ff000000001,7ff1deadbeef", "artnet.excess_bytes": "",
		}, map[int]string{12: "01", 20: "03"}},
		{"ArtTodData without a table", &artnet.TodData{Port: 1, BindIndex: 1, PortAddress: 1, Response: artnet.TodResponseNak}, map[string]string{
			"artnet.tod_data.command_response": "0xff", "artnet.tod_data.uid_total": "0", "artnet.tod_data.uid_count": "0", "artnet.tod_data.tod": "",
		}, nil},
		{"ArtTodControl", &artnet.TodControl{PortAddress: artnet.NewPortAddress(5, 6, 7), Command: artnet.TodControlFlush}, map[string]string{
			"artnet.header.opcode": "0x8200", "artnet.tod_control.net": "0x05", "artnet.tod_control.command": "0x01", "artnet.tod_control.address": "0x67",
			"artnet.tod_control.universe": "1383", "artnet.excess_bytes": "",
		}, nil},
		{"ArtRdm", &artnet.Rdm{
			FifoAvail: 3, FifoMax: 8, PortAddress: artnet.NewPortAddress(5, 6, 7), Message: outside.Golden(t, "artrdm-nack")[24:],
		}, map[string]string{
			"artnet.header.opcode": "0x8300", "artnet.rdm.rdmver": "0x01", "artnet.rdm.net": "0x05", "artnet.rdm.command": "0x00", "artnet.rdm.address": "0x67",
			"rdm.pid": "0x00f0", "rdm.checksum.status": "1",
		}, map[int]string{19: "0308"}},
	}, map[string]string{"artnet.header.id": "Art-Net"})
}

// One port a page, as Pages lays them out: the dissector works out the same
// port-addresses.
func TestDissectorReadsOurPages(t *testing.T) {
	base := device()
	pages, err := base.Pages(nil, []artnet.DevicePort{
		{PortAddress: 1383, Type: artnet.PortOutput, GoodOutputA: artnet.OutputActive}, {PortAddress: 32767, Type: artnet.PortInput, GoodInput: artnet.InputReceived},
	}, 1)
	if err != nil {
		t.Fatal(err)
	}
	dissect(t, artnet.Port, []dissected{
		{"first page", &pages[0], map[string]string{
			"artnet.poll_reply.bind_index": "0x01", "artnet.poll_reply.swout_1_universe": "1383", "artnet.poll_reply.port_types_1": "0x80",
			"artnet.poll_reply.num_ports": "1", "artnet.poll_reply.good_output_1": "0x80", "artnet.poll_reply.port_types_2": "0x00",
		}, nil},
		{"second page", &pages[1], map[string]string{
			"artnet.poll_reply.bind_index": "0x02", "artnet.poll_reply.swin_1_universe": "32767", "artnet.poll_reply.port_types_1": "0x40",
			"artnet.poll_reply.num_ports": "1", "artnet.poll_reply.good_input_1": "0x80", "artnet.poll_reply.netswitch": "0x7f", "artnet.poll_reply.subswitch": "0x0f",
		}, nil},
	}, map[string]string{"artnet.poll_reply.bind_ip_address": "192.0.2.5", "artnet.poll_reply.short_name": "eight ports"})
}
