package artnet_test

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"maps"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

// dissected is a packet of ours and what the dissector must say of it: a field
// and its value, the values of a repeated field joined by commas. Bytes that
// tshark 4.0.17 has no field for are asserted by their offset, in hex.
type dissected struct {
	name   string
	packet interface{ AppendBinary([]byte) ([]byte, error) }
	want   map[string]string
	bytes  map[int]string
}

// dissect has tshark decode each packet as a UDP datagram of a port, and
// compares. args are for tshark; always are fields that every packet must have.
func dissect(t *testing.T, port int, packets []dissected, always map[string]string, args ...string) {
	t.Helper()
	toPcap, tshark := outside.Tool(t, "text2pcap"), outside.Tool(t, "tshark")
	var dump strings.Builder // the form of od -Ax -tx1; an offset of 0 starts a packet
	fields := map[string]bool{"_ws.malformed": true}
	wire := make([][]byte, len(packets))
	for i, p := range packets {
		b, err := p.packet.AppendBinary(nil)
		require.NoError(t, err, p.name)
		wire[i] = b
		for at, c := range b {
			if at%16 == 0 {
				fmt.Fprintf(&dump, "\n%06x", at)
			}
			fmt.Fprintf(&dump, " %02x", c)
		}
		fmt.Fprintf(&dump, "\n%06x\n", len(b))
		for f := range p.want {
			fields[f] = true
		}
	}
	for f := range always {
		fields[f] = true
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.txt"), filepath.Join(dir, "out.pcap")
	require.NoError(t, os.WriteFile(in, []byte(dump.String()), 0o600))
	ports := fmt.Sprintf("%d,%d", port, port)
	msg, err := exec.Command(toPcap, "-q", "-4", "192.0.2.10,192.0.2.23", "-u", ports, in, out).CombinedOutput()
	require.NoError(t, err, "%s", msg)

	args = append([]string{"-n", "-r", out, "-T", "fields", "-E", "separator=/t", "-E", "aggregator=,"}, args...)
	names := slices.Sorted(maps.Keys(fields))
	for _, f := range names {
		args = append(args, "-e", f)
	}
	cmd := exec.Command(tshark, args...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	answer, err := cmd.Output()
	require.NoError(t, err, "%s", stderr.Bytes())
	lines := strings.Split(strings.TrimRight(string(answer), "\n"), "\n")
	require.Len(t, lines, len(packets), "%s", answer)
	for i, p := range packets {
		t.Run(p.name, func(t *testing.T) {
			values := strings.Split(lines[i], "\t")
			require.Len(t, values, len(names))
			want := maps.Clone(always)
			if want == nil {
				want = map[string]string{}
			}
			want["_ws.malformed"] = ""
			maps.Copy(want, p.want)
			got := map[string]string{}
			for k, f := range names {
				if _, asked := want[f]; asked {
					got[f] = flags.Replace(values[k])
				}
			}
			require.Equal(t, want, got)
			for at, want := range p.bytes {
				n := len(want) / 2
				require.LessOrEqual(t, at+n, len(wire[i]))
				require.Equal(t, want, hex.EncodeToString(wire[i][at:at+n]), "offset %d", at)
			}
		})
	}
}

// flags are written as words from 4.4 on.
var flags = strings.NewReplacer("True", "1", "False", "0")

// Our encodings, decoded by the Art-Net dissector of Wireshark, say what was
// meant. Field names and forms are those of tshark 4.0.17.
func TestDissectorReadsOurPackets(t *testing.T) {
	dissect(t, artnet.Port, []dissected{
		{"ArtDmx", &artnet.Dmx{Sequence: 200, Physical: 3, PortAddress: artnet.NewPortAddress(5, 6, 7), Data: ramp(512)}, map[string]string{
			"artnet.header.opcode": "0x5000", "artnet.header.protver": "14",
			"artnet.output.sequence": "200", "artnet.output.physical": "3", "artnet.output.universe": "1383", "artnet.output.length": "512",
			"dmx_chan.data_filter": hex.EncodeToString(ramp(512)), "artnet.excess_bytes": "",
		}, nil},
		{"ArtDmx of three slots", &artnet.Dmx{Sequence: 1, PortAddress: 32767, Data: []byte{9, 8, 7}}, map[string]string{
			"artnet.output.universe": "32767", "artnet.output.length": "4", "dmx_chan.data_filter": "09080700",
		}, nil},
		{"ArtPoll", &artnet.Poll{
			Flags: artnet.PollTargeted | artnet.PollReplyOnChange | artnet.PollVLCOff, DiagPriority: artnet.DiagHigh, TargetTop: 300, TargetBottom: 20, EstaMan: artnet.PrototypeEsta, Oem: artnet.UnknownOem,
		}, map[string]string{
			"artnet.header.opcode": "0x2000", "artnet.poll.talktome_reply_change": "1", "artnet.poll.talktome_targeted": "1",
			"artnet.poll.talktome_vlc": "1", "artnet.poll.talktome_diag": "0", "artnet.poll.diag_priority": "128",
			"artnet.poll.target_port_top": "300", "artnet.poll.target_port_bottom": "20",
		}, map[int]string{18: "7ff000ff"}},
		{"ArtPollReply", &artnet.PollReply{
			IP: netip.MustParseAddr("192.0.2.77"), Port: artnet.Port, Version: 0x0203, NetSwitch: 5, SubSwitch: 6, Oem: artnet.UnknownOem,
			Status1: artnet.IndicatorsNormal | artnet.AddressLocal, EstaMan: artnet.PrototypeEsta, ShortName: "a short name 17 b", LongName: strings.Repeat("l", 63),
			NodeReport: artnet.NodeReport(1, 12, "Running"), NumPorts: 3,
			PortTypes: [4]uint8{artnet.PortOutput, artnet.PortInput, artnet.PortOutput}, GoodInput: [4]uint8{0, artnet.InputReceived},
			GoodOutputA: [4]uint8{artnet.OutputActive, 0, 8}, SwIn: [4]uint8{0, 9}, SwOut: [4]uint8{7, 0, 15},
			SwMacro: 1, SwRemote: 2, Style: artnet.StyleController, MAC: [6]byte{2, 0, 0, 0, 0x5e, 9},
			BindIP: netip.MustParseAddr("192.0.2.78"), BindIndex: 4, Status2: artnet.Address15Bit,
			GoodOutputB: [4]uint8{artnet.OutputNoRDM}, Status3: 0x20, DefaultRespUID: [6]byte{0x7f, 0xf0, 0, 0, 0, 1}, User: 0x0102, RefreshRate: 60, QueuePolicy: 3,
		}, map[string]string{
			"artnet.header.opcode": "0x2100", "artnet.poll_reply.ip_address": "192.0.2.77", "artnet.poll_reply.port_nr": "6454",
			"artnet.poll_reply.versinfo": "0x0203", "artnet.poll_reply.netswitch": "0x05", "artnet.poll_reply.subswitch": "0x06",
			"artnet.poll_reply.oem": "0x00ff", "artnet.poll_reply.status": "0xd0", "artnet.poll_reply.esta_man": "0x7ff0",
			"artnet.poll_reply.short_name": "a short name 17 b", "artnet.poll_reply.long_name": strings.Repeat("l", 63),
			"artnet.poll_reply.node_report": "#0001 [0012] Running", "artnet.poll_reply.num_ports": "3",
			"artnet.poll_reply.port_types_1": "0x80", "artnet.poll_reply.port_types_2": "0x40", "artnet.poll_reply.good_input_2": "0x80",
			"artnet.poll_reply.good_output_1": "0x80", "artnet.poll_reply.good_output_3": "0x08",
			"artnet.poll_reply.swout_1_universe": "1383", "artnet.poll_reply.swin_2_universe": "1385", "artnet.poll_reply.swout_3_universe": "1391",
			"artnet.poll_reply.swmacro": "0x01", "artnet.poll_reply.swremote": "0x02",
			"artnet.poll_reply.style": "0x01", "artnet.poll_reply.mac": "02:00:00:00:5e:09",
			"artnet.poll_reply.bind_ip_address": "192.0.2.78", "artnet.poll_reply.bind_index": "0x04", "artnet.poll_reply.status2": "0x08",
		}, map[int]string{213: "80000000" + "20" + "7ff000000001" + "0102" + "003c" + "03" + "00000000000000000000"}},
		{"ArtSync", &artnet.Sync{}, map[string]string{"artnet.header.opcode": "0x5200", "artnet.header.protver": "14"}, map[int]string{12: "0000"}},
	}, map[string]string{"artnet.header.id": "Art-Net"})
}
