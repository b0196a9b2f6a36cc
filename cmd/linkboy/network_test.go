package main

import (
	"context"
	"net"
	"net/netip"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outlet"
	"linkboy/artnet/outside"
	"linkboy/cues"
	"linkboy/cues/session"
)

// rival sends ArtDmx for port-address 0:0:1 to a controller's own address until
// the test ends or stop is called, as a controller does that counts it among the
// port-address's devices (Art-Net 4, ArtDmx).
func rival(t *testing.T, from, to string) (stop func()) {
	t.Helper()
	c, err := net.ListenUDP("udp4", net.UDPAddrFromAddrPort(netip.AddrPortFrom(netip.MustParseAddr(from), 0)))
	require.NoError(t, err)
	b, err := (&artnet.Dmx{Sequence: 1, PortAddress: 1, Data: []byte{9, 9}}).AppendBinary(nil)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	t.Cleanup(cancel)
	runFor(t, func(context.Context) error {
		defer c.Close()
		tick := time.NewTicker(25 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return nil
			case <-tick.C:
				_, _ = c.WriteToUDPAddrPort(b, netip.AddrPortFrom(netip.MustParseAddr(to), artnet.Port))
			}
		}
	})
	return cancel
}

// warnings are the codes of the warnings in the state, with their places.
func (s *rehearsal) warnings() []string {
	s.t.Helper()
	var st session.State
	s.get("/api/state", &st)
	var codes []string
	for _, w := range st.Warnings {
		codes = append(codes, w.Code+" "+w.Where)
	}
	return codes
}

// Another controller is named in the state while it sends, and forgotten after;
// a node that falls silent is lost, and back when it answers.
func TestStateTellsOfTheNetwork(t *testing.T) {
	s := newStage(t, 160)
	outside.Await(t, "the node is found", func() bool { return len(s.state().Nodes) == 1 })
	stop := rival(t, "127.0.3.170", s.bind)
	outside.Await(t, "the other controller is named", func() bool { return slices.Contains(s.warnings(), "other-controller 127.0.3.170") })
	var st session.State
	s.get("/api/state", &st)
	i := slices.IndexFunc(st.Warnings, func(w session.Warning) bool { return w.Code == "other-controller" })
	require.Regexp(t, `^another controller, 127\.0\.3\.170, sends to port-address 0:0:1, \d+ packets a second$`, st.Warnings[i].Message)
	require.NotEmpty(t, st.Warnings[i].Why)
	require.NotEmpty(t, st.Warnings[i].Mend)
	n := st.Nodes[0]
	require.Equal(t, []any{"0.1", "normal", uint16(artnet.PrototypeEsta), uint16(artnet.UnknownOem)}, []any{n.Firmware, n.Indicators, n.Esta, n.Oem})
	require.Len(t, n.Lines, len(n.Ports))
	stop()
	outside.Await(t, "it is forgotten", func() bool { return !slices.Contains(s.warnings(), "other-controller 127.0.3.170") })

	s.node.Silence(true)
	outside.Await(t, "the node is lost", func() bool { return slices.Contains(s.warnings(), "node-lost 127.0.3.161") })
	require.True(t, s.state().Nodes[0].Lost)
	s.node.Silence(false)
	outside.Await(t, "the node is back", func() bool { return len(s.warnings()) == 0 })
}

func TestPageTellsOfTheNetwork(t *testing.T) {
	s := newStage(t, 180)
	p := openPhone(t, browser(t), s.url, planOnly)
	p.await("the node is there", `text("status-nodes") === "1 node"`)
	s.node.Silence(true)
	rival(t, "127.0.3.190", s.bind)
	p.await("the lost node is named", `text("status-nodes").trim() === "1 node lost: test node"`)
	p.await("it is said", `text("said") === "node test node is lost"`)
	require.True(t, ask[bool](p, `
		const line = part("status").getBoundingClientRect();
		return [...document.querySelectorAll(".fact")].every((f) => f.getBoundingClientRect().right <= line.right);`),
		"nothing of the status line is off the screen")
	p.tap("status")
	p.await("the warnings say what, why and the mend", `[...document.querySelectorAll('[data-test="warning"]')].some((w) =>
		w.textContent.includes("another controller, 127.0.3.190, sends to port-address 0:0:1") &&
		w.textContent.includes("the light may not be the look's") && w.textContent.includes("stop it, or give it other port-addresses"))`)
	p.await("the node says what it is", `text("node").includes("firmware 0.1") && part("node").dataset.lost === "true"`)
	s.node.Silence(false)
	p.await("the node is back", `text("status-nodes") === "1 node" && text("said") === "node test node is back"`)
}

// aNetwork is a network as a test wants it.
type aNetwork struct {
	nodes     []link.NodeInfo
	elsewhere []artnet.PortAddress
	faults    []outlet.Fault
	streams   []outlet.Stream
	shared    bool
}

func (n aNetwork) Nodes() []link.NodeInfo          { return n.nodes }
func (n aNetwork) Sources() []link.Source          { return nil }
func (n aNetwork) Streams() []outlet.Stream        { return n.streams }
func (n aNetwork) Elsewhere() []artnet.PortAddress { return n.elsewhere }
func (n aNetwork) Shared() bool                    { return n.shared }
func (n aNetwork) Faults() []outlet.Fault          { return n.faults }

func TestNetworkWarnings(t *testing.T) {
	show := &cues.Show{Locations: []*cues.Location{{Rig: []*cues.RigLamp{{ID: "k", Address: cues.Address{Port: 1}}, {ID: "l", Address: cues.Address{Port: 2}}}}}}
	codes := func(n aNetwork) (all []string) {
		for _, w := range networkWarnings(n, func() *cues.Show { return show })([]uint16{1, 2}) {
			require.NotEmpty(t, w.Message)
			require.NotEmpty(t, w.Why)
			require.NotEmpty(t, w.Mend)
			all = append(all, w.Code+" "+w.Where)
		}
		return all
	}
	wall := link.NodeInfo{Name: "wall", Addr: netip.MustParseAddrPort("192.0.2.21:6454"), Ports: []artnet.PortAddress{1}}
	require.Equal(t, []string{"no-node network"}, codes(aNetwork{}))
	require.Equal(t, []string{"port-address-unclaimed 0:0:2"}, codes(aNetwork{nodes: []link.NodeInfo{wall}}))
	require.Empty(t, codes(aNetwork{nodes: []link.NodeInfo{wall}, elsewhere: []artnet.PortAddress{2}}), "it goes out over sACN, say")
	require.Empty(t, codes(aNetwork{elsewhere: []artnet.PortAddress{1, 2}}), "nothing waits for a node")
	require.Equal(t, []string{"other-sacn-source 192.0.2.9"}, codes(aNetwork{
		elsewhere: []artnet.PortAddress{1, 2}, streams: []outlet.Stream{{Addr: netip.MustParseAddr("192.0.2.9"), Universe: 1, Ports: []artnet.PortAddress{1}}},
	}))
	require.Equal(t, []string{"output-down Art-Net by eth1", "art-net-shared this machine"}, codes(aNetwork{
		elsewhere: []artnet.PortAddress{1, 2}, shared: true, faults: []outlet.Fault{{Output: "Art-Net by eth1", Err: net.ErrClosed}},
	}))
}
