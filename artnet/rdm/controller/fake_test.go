package controller_test

import (
	"context"
	"net/netip"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/artnet/rdm/responder"
)

// Documentation addresses, RFC 5737.
var (
	nodeA = netip.MustParseAddrPort("192.0.2.21:6454")
	nodeB = netip.MustParseAddrPort("192.0.2.22:6454")

	lineA = controller.Gateway{Node: nodeA, PortAddress: 1}
	lineB = controller.Gateway{Node: nodeA, PortAddress: 2}
	lineC = controller.Gateway{Node: nodeB, PortAddress: 1}
)

var own = rdm.NewUID(0x7ff0, 0x11)

// uid is the nth invented lamp.
func uid(n uint32) rdm.UID { return rdm.NewUID(0x7ff1, n) }

// fakeNet is gateways with lines, reached through a wire that a test may spoil.
type fakeNet struct {
	c     *controller.Controller
	lines map[controller.Gateway]*responder.Line
	tods  map[controller.Gateway][]rdm.UID // told instead of what is on the line

	mu       sync.Mutex
	sent     []artnet.Packet // both ways, in order
	busy     map[controller.Gateway]int
	mostBusy int
	turns    map[controller.Gateway]chan struct{} // of the lines
	slow     bool                                 // answers come after their time-out: requests pile up at the gateway
	// spoil, if not nil, is handed every answer and gives what is sent instead. A
	// test sets it while nothing is under way.
	spoil func(at controller.Gateway, p artnet.Packet) []artnet.Packet
	fail  error // of sending
}

// copied is a packet as it comes out of a datagram.
func (n *fakeNet) copied(p artnet.Packet) artnet.Packet {
	b, err := p.AppendBinary(nil)
	if err != nil {
		panic(err)
	}
	own, err := artnet.Parse(b)
	if err != nil {
		panic(err)
	}
	return own
}

func (n *fakeNet) send(to netip.AddrPort, p artnet.Packet) error {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.fail != nil {
		return n.fail
	}
	p = n.copied(p)
	n.sent = append(n.sent, p)
	switch p := p.(type) {
	case *artnet.TodRequest:
		for at := range n.lines {
			if p.Asks(at.PortAddress) {
				go n.tell(at)
			}
		}
	case *artnet.Rdm:
		at := controller.Gateway{Node: to, PortAddress: p.PortAddress}
		if line := n.lines[at]; line != nil {
			n.busy[at]++
			n.mostBusy = max(n.mostBusy, n.busy[at])
			go n.pass(at, line, p)
		}
	}
	return nil
}

func (n *fakeNet) tell(at controller.Gateway) {
	var uids [][6]byte
	for _, d := range n.lines[at].Devices() {
		uids = append(uids, d.UID())
	}
	if told, ok := n.tods[at]; ok {
		uids = nil
		for _, u := range told {
			uids = append(uids, u)
		}
	}
	for _, block := range artnet.TodBlocks(artnet.TodData{Port: 1, BindIndex: uint8(at.PortAddress), PortAddress: at.PortAddress}, uids) {
		n.answer(at, &block)
	}
}

func (n *fakeNet) pass(at controller.Gateway, line *responder.Line, p *artnet.Rdm) {
	n.turns[at] <- struct{}{}
	answer, after := line.Send(time.Now(), append([]byte{0xcc}, p.Message...))
	time.Sleep(after)
	<-n.turns[at]
	n.mu.Lock()
	n.busy[at]--
	n.mu.Unlock()
	if answer != nil {
		n.answer(at, &artnet.Rdm{PortAddress: at.PortAddress, Message: answer[1:]})
	}
}

func (n *fakeNet) answer(at controller.Gateway, p artnet.Packet) {
	all := []artnet.Packet{p}
	n.mu.Lock()
	if n.spoil != nil {
		all = n.spoil(at, p)
	}
	n.mu.Unlock()
	for _, p := range all {
		p = n.copied(p)
		n.mu.Lock()
		n.sent = append(n.sent, p)
		n.mu.Unlock()
		n.c.Receive(at.Node, p)
	}
}

// device makes an invented lamp.
func device(t testing.TB, n uint32, change func(*responder.Model)) *responder.Responder {
	t.Helper()
	m := responder.Model{
		UID: uid(n), Number: 7, Category: rdm.CategoryFixtureFixed, Software: 3, SoftwareLabel: "0.3", Maker: "Prototype", Description: "Tube",
		Start: rdm.StartAddress(1 + 20*n), Personalities: []responder.Personality{{Text: "1-cell", Slots: 4}, {Text: "4-cell", Slots: 16}},
		Sensors: []responder.Sensor{{Definition: rdm.SensorDefinition{Type: rdm.SensorTemperature, Unit: rdm.UnitCelsius, Prefix: rdm.PrefixDeci, Description: "board"}, Value: 412}},
		Hours:   100,
	}
	if change != nil {
		change(&m)
	}
	r, err := responder.New(m)
	require.NoError(t, err)
	return r
}

// bubble runs f in a synctest bubble with a controller and lines of devices.
func bubble(t *testing.T, lines map[controller.Gateway]*responder.Line, change func(*controller.Config), f func(t *testing.T, n *fakeNet)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		n := &fakeNet{lines: lines, busy: make(map[controller.Gateway]int), tods: make(map[controller.Gateway][]rdm.UID), turns: make(map[controller.Gateway]chan struct{})}
		for at := range lines {
			n.turns[at] = make(chan struct{}, 1)
		}
		cfg := controller.Config{Send: n.send, UID: own}
		if change != nil {
			change(&cfg)
		}
		c, err := controller.New(cfg)
		require.NoError(t, err)
		n.c = c
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() { done <- c.Run(ctx) }()
		f(t, n)
		synctest.Wait()
		cancel()
		require.NoError(t, <-done)
		if !n.slow {
			require.LessOrEqual(t, n.mostBusy, 1, "a line carries one request at a time")
		}
		time.Sleep(time.Minute) // lets what is late come
	})
}

// one runs f with two devices on one line that have been discovered; the first
// may misbehave from then on.
func one(t *testing.T, fault responder.Fault, f func(t *testing.T, n *fakeNet, first *responder.Responder)) {
	t.Helper()
	first := device(t, 1, nil)
	bubble(t, map[controller.Gateway]*responder.Line{lineA: responder.NewLine(first, device(t, 2, nil))}, nil, func(t *testing.T, n *fakeNet) {
		silent, err := n.c.Discover(t.Context(), []controller.Gateway{lineA})
		require.NoError(t, err)
		require.Empty(t, silent)
		first.SetFault(fault)
		n.slow = fault.Slow > 0
		f(t, n, first)
	})
}

// label gets the label of a device.
func label(t *testing.T, n *fakeNet, u rdm.UID) (string, error) {
	t.Helper()
	b, err := n.c.Get(t.Context(), u, rdm.PIDDeviceModelDescription, nil)
	return string(b), err
}

// count counts what was sent or answered of a kind.
func count[P artnet.Packet](n *fakeNet) int {
	n.mu.Lock()
	defer n.mu.Unlock()
	all := slices.Clone(n.sent)
	return len(slices.DeleteFunc(all, func(p artnet.Packet) bool { _, is := p.(P); return !is }))
}
