package survey_test

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outlet"
	"linkboy/artnet/survey"
)

// node is a device that puts out port-addresses. The addresses are those for
// documentation, RFC 5737.
func node(name, ip string, ports ...artnet.PortAddress) link.NodeInfo {
	n := link.NodeInfo{Name: name, Addr: netip.AddrPortFrom(netip.MustParseAddr(ip), 6454), Ports: ports}
	for _, a := range ports {
		n.Lines = append(n.Lines, link.Line{ReplyPort: artnet.ReplyPort{Address: a, Output: true}, BindIndex: 1})
	}
	return n
}

func lost(n link.NodeInfo) link.NodeInfo { n.Lost = true; return n }

func line(n link.NodeInfo, change func(*artnet.ReplyPort)) link.NodeInfo {
	change(&n.Lines[0].ReplyPort)
	return n
}

// Which warnings there are: common practice, no source. What the bits mean:
// Art-Net 4, ArtPollReply.
func TestWarnings(t *testing.T) {
	used := []artnet.PortAddress{1, 2}
	place := survey.Place{Used: used}
	wall, hut := node("wall", "192.0.2.21", 1), node("hut", "192.0.2.22", 2)
	desk := link.NodeInfo{Name: "desk", Addr: netip.MustParseAddrPort("192.0.2.9:6454"), Style: artnet.StyleController}
	twin := hut
	twin.MAC, twin.Twin = [6]byte{2, 0, 0, 0, 0, 1}, [6]byte{2, 0, 0, 0, 0, 2}
	short := hut
	short.Report = "#000d [0001] x"
	source := link.Source{Addr: netip.MustParseAddr("192.0.2.9"), Name: "desk", PortAddress: 2, Rate: 39.7}
	nameless := link.Source{Addr: netip.MustParseAddr("192.0.2.8"), PortAddress: 1, Rate: 1}
	named, shared := survey.Place{Used: used, Elsewhere: used}, place
	shared.Shared = true

	for _, c := range []struct {
		name    string
		nodes   []link.NodeInfo
		sources []link.Source
		place   survey.Place
		want    []string // code, place, message
	}{
		{"all is well", []link.NodeInfo{wall, hut}, nil, place, nil},
		{"nobody", nil, nil, place, []string{"no-node network: no node has answered: nothing reaches the lamps"}},
		{"a controller is no node", []link.NodeInfo{desk}, nil, place, []string{"no-node network: no node has answered: nothing reaches the lamps"}},
		{"a node that calls itself a controller", []link.NodeInfo{{Name: "odd", Ports: used, Style: artnet.StyleController}}, nil, place, nil},
		{"lost", []link.NodeInfo{wall, lost(hut)}, nil, place, []string{
			`node-lost 192.0.2.22: node "hut" stopped answering`,
		}},
		{"lost, and one that nobody ever had", []link.NodeInfo{lost(hut)}, nil, survey.Place{Used: []artnet.PortAddress{1, 2, 3}}, []string{
			`node-lost 192.0.2.22: node "hut" stopped answering`,
			"port-address-unclaimed 0:0:1 and 0:0:3: no node takes port-address 0:0:1 and 0:0:3: those lamps stay as they are",
		}},
		{"two for one, none for another", []link.NodeInfo{wall, node("hut", "192.0.2.22", 1)}, nil, place, []string{
			"port-address-unclaimed 0:0:2: no node takes port-address 0:0:2: those lamps stay as they are",
		}},
		{"two for one is right where all are served", []link.NodeInfo{wall, hut, node("shed", "192.0.2.23", 1)}, nil, place, nil},
		{"no lamp there", []link.NodeInfo{wall, hut, node("shed", "192.0.2.23", 7, 9)}, nil, place, []string{
			`port-address-unused 192.0.2.23: node "shed" answers for 0:0:7 and 0:0:9, where the show has no lamp`,
		}},
		{"an output to spare", []link.NodeInfo{node("wall", "192.0.2.21", 1, 2, 3)}, nil, place, []string{
			`port-address-unused 192.0.2.21: node "wall" answers for 0:0:3, where the show has no lamp`,
		}},
		{"lamps at another location", []link.NodeInfo{wall, hut, node("shed", "192.0.2.23", 7)}, nil, survey.Place{Used: used, Show: []artnet.PortAddress{1, 2, 7}}, nil},
		{"a place without lamps", []link.NodeInfo{wall}, nil, survey.Place{}, nil},
		{"two devices, one address", []link.NodeInfo{wall, twin}, nil, place, []string{
			"address-twice 192.0.2.22: two devices answer from 192.0.2.22: 02:00:00:00:00:01 and 02:00:00:00:00:02",
		}},
		{"merging", []link.NodeInfo{line(node("wall", "192.0.2.21", 1), func(p *artnet.ReplyPort) { p.Merging = true }), hut}, nil, place, []string{
			`node-merging 192.0.2.21: node "wall" merges two sources on port-address 0:0:1`,
		}},
		{"merging where we do not send", []link.NodeInfo{wall, hut, line(node("x", "192.0.2.23", 7), func(p *artnet.ReplyPort) { p.Merging = true })}, nil,
			survey.Place{Used: used, Show: []artnet.PortAddress{1, 2, 7}}, nil},
		{"follows sACN", []link.NodeInfo{wall, line(node("hut", "192.0.2.22", 2), func(p *artnet.ReplyPort) { p.FromSACN = true })}, nil, place, []string{
			`node-follows-sacn 192.0.2.22: node "hut" follows sACN on port-address 0:0:2`,
		}},
		{"trouble of its own", []link.NodeInfo{wall, short}, nil, place, []string{`node-trouble 192.0.2.22: node "hut" says: an output is short-circuited`}},
		{"another controller", []link.NodeInfo{wall, hut}, []link.Source{nameless, source}, place, []string{
			"other-controller 192.0.2.8: another controller, 192.0.2.8, sends to port-address 0:0:1, 1 packets a second",
			`other-controller 192.0.2.9: another controller, "desk" at 192.0.2.9, sends to port-address 0:0:2, 40 packets a second`,
		}},
		{"another sACN source", []link.NodeInfo{wall, hut}, nil, survey.Place{Used: used, Streams: []outlet.Stream{
			{Addr: netip.MustParseAddr("192.0.2.7"), Name: "next set", Universe: 2, Ports: used[1:], Rate: 39.7, Priority: 100},
		}}, []string{
			`other-sacn-source 192.0.2.7: another sACN source, "next set" at 192.0.2.7, sends universe 2 (0:0:2), 40 packets a second at priority 100`,
		}},
		{"named devices need not answer", nil, []link.Source{nameless}, named, []string{
			"other-controller 192.0.2.8: another controller, 192.0.2.8, sends to port-address 0:0:1, 1 packets a second",
		}},
		{"another way out", []link.NodeInfo{wall}, nil, survey.Place{Used: used, Elsewhere: []artnet.PortAddress{2}}, nil},
		{"another way out for all", nil, nil, survey.Place{Used: used, Elsewhere: used}, nil},
		{"another way out for one, and nobody", nil, nil, survey.Place{Used: used, Elsewhere: used[:1]}, []string{"no-node network: no node has answered: nothing reaches the lamps"}},
		{"shared", []link.NodeInfo{wall, hut}, nil, shared, []string{"art-net-shared this machine: another program on this machine uses the same Art-Net address"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, w := range survey.Warnings(c.nodes, c.sources, c.place) {
				got = append(got, string(w.Code)+" "+w.Where+": "+w.Message)
				require.NotEmpty(t, w.Why, "why")
				require.NotEmpty(t, w.Mend, "mend")
			}
			require.Equal(t, c.want, got)
		})
	}
}

// Who is followed: E1.31 6.2.3, the highest priority; equal ones are merged as the
// receiver does it.
func TestPriorityOfAnotherSource(t *testing.T) {
	why := func(s outlet.Stream) string {
		got := survey.Warnings([]link.NodeInfo{node("wall", "192.0.2.21", 1)}, nil, survey.Place{Used: []artnet.PortAddress{1}, Streams: []outlet.Stream{s}})
		require.Len(t, got, 1)
		return got[0].Why
	}
	require.Contains(t, why(outlet.Stream{Priority: 100}), "a node that listens to sACN too may follow it")
	require.Contains(t, why(outlet.Stream{Priority: 101, Sent: true, Ours: 100}), "receivers follow it and not this show")
	require.Contains(t, why(outlet.Stream{Priority: 100, Sent: true, Ours: 100}), "merge it with this show")
	require.Contains(t, why(outlet.Stream{Priority: 0, Sent: true, Ours: 100}), "receivers follow this show")
}

func TestWarningsNameTheLamps(t *testing.T) {
	p := survey.Place{Used: []artnet.PortAddress{1, 2}, Lamps: func(a artnet.PortAddress) []string {
		return map[artnet.PortAddress][]string{1: {"key"}, 2: {"a", "b", "c", "d", "e", "f"}}[a]
	}}
	got := survey.Warnings([]link.NodeInfo{node("wall", "192.0.2.21", 1), node("hut", "192.0.2.22", 1)}, nil, p)
	require.Len(t, got, 1)
	require.Equal(t, "no node takes port-address 0:0:2 (a, b, c, d and 2 more): those lamps stay as they are", got[0].Message)
	require.Equal(t, `set a node to it; "wall" and "hut" put out 0:0:1, so one of them may be meant for it`, got[0].Mend)

	got = survey.Warnings([]link.NodeInfo{lost(node("wall", "192.0.2.21", 1)), node("hut", "192.0.2.22", 2)}, nil, p)
	require.Len(t, got, 1)
	require.Equal(t, "the lamps (key) on 0:0:1 hold what they had, or go as the node does without data", got[0].Why)
	got = survey.Warnings([]link.NodeInfo{lost(node("wall", "192.0.2.21", 2)), node("hut", "192.0.2.22", 1, 2)}, nil, p)
	require.Len(t, got, 1)
	require.NotContains(t, got[0].Why, "lamps (", "another node serves them")
}
