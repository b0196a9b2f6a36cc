package link_test

import (
	"context"
	"net"
	"net/netip"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/peer"
)

// The fakes' network: documentation addresses, RFC 5737.
var (
	self      = netip.MustParseAddrPort("192.0.2.10:6454")
	broadcast = netip.MustParseAddrPort("192.0.2.255:6454")
	nodeA     = netip.MustParseAddrPort("192.0.2.21:6454")
	nodeB     = netip.MustParseAddrPort("192.0.2.22:6454")
)

// packet is a datagram that a Link sent.
type packet struct {
	to netip.AddrPort
	at time.Time
	b  []byte
}

// fakeWire records what is sent and hands in what a test wants received.
type fakeWire struct {
	in     chan func(handle func(netip.AddrPort, []byte))
	broken chan error
	closed chan struct{}
	once   sync.Once

	mu   sync.Mutex
	sent []packet
	// forget records nothing.
	forget bool
	fail   func(to netip.AddrPort) error
}

func newFakeWire() *fakeWire {
	return &fakeWire{
		in:     make(chan func(func(netip.AddrPort, []byte))),
		broken: make(chan error),
		closed: make(chan struct{}),
	}
}

func (w *fakeWire) Local() netip.AddrPort     { return self }
func (w *fakeWire) Broadcast() netip.AddrPort { return broadcast }
func (w *fakeWire) Interface() peer.Interface {
	return peer.Interface{Prefix: netip.MustParsePrefix("192.0.2.10/24"), MAC: [6]byte{2, 0, 0, 0, 0x5e, 7}}
}
func (w *fakeWire) Deaf() error                      { return nil }
func (w *fakeWire) Shared() bool                     { return false }
func (w *fakeWire) SetWriteDeadline(time.Time) error { return nil }

func (w *fakeWire) Read(handle func(netip.AddrPort, []byte)) error {
	for {
		select {
		case give := <-w.in:
			give(handle)
		case err := <-w.broken:
			return err
		case <-w.closed:
			return nil
		}
	}
}

func (w *fakeWire) WriteToAddrPort(b []byte, to netip.AddrPort) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	select {
	case <-w.closed:
		return net.ErrClosed
	default:
	}
	if w.fail != nil {
		if err := w.fail(to); err != nil {
			return err
		}
	}
	if w.forget {
		return nil
	}
	w.sent = append(w.sent, packet{to, time.Now(), append([]byte(nil), b...)})
	return nil
}

func (w *fakeWire) Send(b *peer.Batch) error { return b.SendEach(w.WriteToAddrPort) }

func (w *fakeWire) SendAside(b *peer.Batch, _ int) error { return w.Send(b) }

func (w *fakeWire) Close() error {
	w.once.Do(func() { close(w.closed) })
	return nil
}

func (w *fakeWire) failWith(fail func(netip.AddrPort) error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.fail = fail
}

// receive hands the Link a datagram and returns when it is dealt with.
func (w *fakeWire) receive(from netip.AddrPort, b []byte) {
	w.in <- func(handle func(netip.AddrPort, []byte)) { handle(from, b) }
	synctest.Wait()
}

// take returns what was sent since the last call, of one kind.
func take[P artnet.Packet](t *testing.T, w *fakeWire) (packets []P, to []netip.AddrPort, at []time.Time) {
	t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	rest := w.sent[:0]
	for _, s := range w.sent {
		p, err := artnet.Parse(s.b)
		require.NoError(t, err)
		if p, ok := p.(P); ok {
			packets, to, at = append(packets, p), append(to, s.to), append(at, s.at)
			continue
		}
		rest = append(rest, s)
	}
	w.sent = rest
	return packets, to, at
}

// reply is an ArtPollReply page that puts out ports, all of net 0 and sub-net 0.
func reply(t *testing.T, index uint8, ports ...artnet.PortAddress) []byte {
	t.Helper()
	r := artnet.PollReply{ShortName: "node", NumPorts: uint16(len(ports)), BindIndex: index, Version: 7, Status2: artnet.Address15Bit}
	for i, p := range ports {
		r.PortTypes[i], r.SwOut[i] = artnet.PortOutput, p.Universe()
		r.NetSwitch, r.SubSwitch = p.Net(), p.Sub()
	}
	b, err := r.AppendBinary(nil)
	require.NoError(t, err)
	return b
}

// start runs a Link on a fake wire inside a synctest bubble.
func start(t *testing.T, cfg link.Config) (*link.Link, *fakeWire) {
	t.Helper()
	w := newFakeWire()
	l, err := link.OpenWire(cfg, func() (link.Wire, error) { return w, nil })
	require.NoError(t, err)
	run(t, l)
	return l, w
}

func run(t *testing.T, l *link.Link) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- l.Run(ctx) }()
	synctest.Wait()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		require.NoError(t, l.Close())
	})
}
