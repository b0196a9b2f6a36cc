package fakenode

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
	"linkboy/artnet/rdm/responder"
)

// DefaultAddr is where a node listens if nothing else is asked: an address of
// its own on loopback, so that a controller can have 127.0.0.1 on the same port.
var DefaultAddr = netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 2}), artnet.Port)

// portsMost is how many port pages an ArtPollReply can count, one port a page.
const portsMost = 255

// Config says what a node is.
type Config struct {
	// Addr is where it listens; the zero value is DefaultAddr. Where the system
	// has only 127.0.0.1 on loopback (macOS), another loopback address becomes
	// 127.0.0.1 with a free port: see Discoverable.
	Addr netip.AddrPort
	// Ports are the port-addresses it puts out, up to 255.
	Ports []artnet.PortAddress
	// Name is shown by controllers; "software node" if empty, 17 bytes at most.
	Name string
	// AnswerDelay is how long to wait before a poll is answered; nil is a
	// random time up to a second, as the standard asks.
	AnswerDelay func() time.Duration
	// Timeout is how long a port without data counts as live; 0 is 6 s, the
	// standard's time-out of indicators.
	Timeout time.Duration
	// Output, if not nil, is called with every frame put out, in the order
	// they are, one at a time. It must not keep slots or call the node.
	Output func(port artnet.PortAddress, slots []byte, sequence uint8)
	// Lines are the RDM devices on the line of a port. A port that is not here
	// has RDM off.
	Lines map[artnet.PortAddress]*responder.Line
	// Logger gets what Run has to say; nil discards it.
	Logger *slog.Logger
}

// Node is a software node. All methods may be called from any goroutine.
type Node struct {
	cfg     Config
	sockets *peer.Sockets
	answers *peer.Answers
	silent  atomic.Bool
	replies atomic.Uint64
	count   counters

	gateways map[artnet.PortAddress]*gateway
	asker    atomic.Pointer[netip.AddrPort] // of RDM
	write    func(b []byte, to netip.AddrPort) error
	everyone func() netip.AddrPort // the broadcast address, zero for none

	mu    sync.Mutex // guards ports and sync
	ports map[artnet.PortAddress]*port
	sync  syncing
	dmx   artnet.Dmx // for parsing

	running sync.Mutex // held by Run
}

// Listen takes the node's address. It starts nothing: Run does.
func Listen(cfg Config) (*Node, error) {
	n, err := newNode(cfg)
	if err != nil {
		return nil, err
	}
	n.sockets, err = listen(n.cfg.Addr)
	if err != nil {
		return nil, fmt.Errorf("artnet node: %w", err)
	}
	n.answers = peer.NewAnswers(cfg.AnswerDelay, n.answer)
	n.write, n.everyone = n.sockets.WriteToAddrPort, n.sockets.Broadcast
	return n, nil
}

// newNode is a node without a network.
func newNode(cfg Config) (*Node, error) {
	if !cfg.Addr.IsValid() {
		cfg.Addr = DefaultAddr
	}
	if cfg.Name == "" {
		cfg.Name = "software node"
	}
	if len(cfg.Name) > artnet.MaxShortName {
		return nil, fmt.Errorf("artnet node: name %q has %d bytes, at most %d fit", cfg.Name, len(cfg.Name), artnet.MaxShortName)
	}
	if cfg.Timeout == 0 {
		cfg.Timeout = defaultTimeout
	}
	if cfg.Logger == nil {
		cfg.Logger = slog.New(slog.DiscardHandler)
	}
	cfg.Ports = slices.Clone(cfg.Ports)
	slices.Sort(cfg.Ports)
	cfg.Ports = slices.Compact(cfg.Ports)
	if len(cfg.Ports) > portsMost {
		return nil, fmt.Errorf("artnet node: %d ports, at most %d on one node; start another", len(cfg.Ports), portsMost)
	}
	n := &Node{cfg: cfg, ports: make(map[artnet.PortAddress]*port), gateways: make(map[artnet.PortAddress]*gateway)}
	for i, a := range cfg.Ports {
		if !a.Valid() {
			return nil, fmt.Errorf("artnet node: %w: got %d, at most %d", artnet.ErrPortAddress, uint16(a), artnet.MaxPortAddress)
		}
		n.ports[a] = newPort(a)
		if line := cfg.Lines[a]; line != nil {
			n.gateways[a] = newGateway(n, a, uint8(i+1), line)
		}
	}
	return n, nil
}

func listen(at netip.AddrPort) (*peer.Sockets, error) {
	all, err := peer.Interfaces()
	if err != nil {
		return nil, err
	}
	i, err := peer.Find(all, at.Addr())
	if err != nil {
		return nil, err
	}
	s, err := peer.Open(i, at.Port())
	if err == nil || !at.Addr().IsLoopback() || !peer.Absent(err) {
		return s, err
	}
	if i, err = peer.Find(all, netip.AddrFrom4([4]byte{127, 0, 0, 1})); err != nil {
		return nil, err
	}
	return peer.Open(i, 0)
}

// Addr is where the node listens: what was asked, or the address it fell back
// to, which a controller then has to be told.
func (n *Node) Addr() netip.AddrPort { return n.sockets.Local() }

// Discoverable reports whether a poll by broadcast reaches the node. Where it
// does not, a controller has to be told Addr: on loopback anywhere but on Linux.
func (n *Node) Discoverable() bool { return n.sockets.HearsBroadcasts() }

// Run listens until ctx ends or Close is called. Then it closes the node and
// returns nil, or what ended it.
func (n *Node) Run(ctx context.Context) error {
	if !n.running.TryLock() {
		return errors.New("artnet node: Run is called twice")
	}
	defer n.running.Unlock()
	ctx, cancel := context.WithCancel(ctx)
	var wait sync.WaitGroup
	wait.Go(func() { n.answers.Run(ctx) })
	for _, g := range n.gateways {
		wait.Go(func() { g.run(ctx) })
	}
	wait.Go(func() {
		<-ctx.Done()
		n.sockets.Close()
	})
	err := n.sockets.Read(func(from netip.AddrPort, b []byte) { n.receive(time.Now(), from, b) })
	cancel()
	wait.Wait()
	if err != nil {
		return fmt.Errorf("artnet node: %w", err)
	}
	return nil
}

// Close ends Run, waits for it, and gives up the address. Closing again does
// nothing.
func (n *Node) Close() error {
	err := n.sockets.Close()
	n.running.Lock()
	defer n.running.Unlock()
	return err
}

// Silence pulls the node's cable: it hears and says nothing until it is called
// with false. Its ports hold what they had.
func (n *Node) Silence(on bool) { n.silent.Store(on) }

// Frame is the last frame that a port put out: a copy of its slots, the
// sequence number it came with, and when. ok is false when the port never had
// one or its data stopped for Config.Timeout; the held slots are returned all
// the same.
func (n *Node) Frame(a artnet.PortAddress) (slots []byte, sequence uint8, at time.Time, ok bool) {
	n.mu.Lock()
	defer n.mu.Unlock()
	p := n.ports[a]
	if p == nil || p.at.IsZero() {
		return nil, 0, time.Time{}, false
	}
	return slices.Clone(p.out), p.outSequence, p.at, p.live(time.Now(), n.cfg.Timeout)
}
