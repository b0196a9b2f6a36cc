package source_test

import (
	"context"
	"net"
	"net/netip"
	"os"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

var (
	self  = netip.MustParseAddrPort("192.0.2.10:49152") // RFC 5737
	bench = sacn.CID{0x0f, 0x1e, 0x2d, 0x3c, 0x4b, 0x5a, 0x49, 0x78, 0xa6, 0xb5, 0xc4, 0xd3, 0xe2, 0xf1, 0x02, 0x03}
)

// frameGap is the time between frames at 44 Hz.
const frameGap = time.Second / 44

// packet is a datagram that a Source sent.
type packet struct {
	to netip.AddrPort
	at time.Time
	b  []byte
}

// fakeWire records what is sent.
type fakeWire struct {
	mu     sync.Mutex
	sent   []packet
	fail   func(to netip.AddrPort) error
	closed bool
	quiet  bool // keeps nothing

	deadline time.Time
}

func (w *fakeWire) Local() netip.AddrPort { return self }

func (w *fakeWire) SetWriteDeadline(at time.Time) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.deadline = at
	return nil
}

func (w *fakeWire) WriteToAddrPort(b []byte, to netip.AddrPort) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.closed {
		return net.ErrClosed
	}
	if time.Now().After(w.deadline) {
		return os.ErrDeadlineExceeded
	}
	if w.fail != nil {
		if err := w.fail(to); err != nil {
			return err
		}
	}
	if w.quiet {
		return nil
	}
	w.sent = append(w.sent, packet{to, time.Now(), append([]byte(nil), b...)})
	return nil
}

func (w *fakeWire) Send(b *peer.Batch) error { return b.SendEach(w.WriteToAddrPort) }

func (w *fakeWire) Close() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.closed = true
	return nil
}

func (w *fakeWire) failWith(fail func(netip.AddrPort) error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.fail = fail
}

// all takes every packet since the last take, parsed.
func (w *fakeWire) all(t *testing.T) (parsed []sacn.Packet, sent []packet) {
	t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	sent, w.sent = w.sent, nil
	for _, s := range sent {
		p, err := sacn.Parse(s.b)
		require.NoError(t, err)
		parsed = append(parsed, p)
	}
	return parsed, sent
}

// take takes what was sent since the last take, of one kind.
func take[P sacn.Packet](t *testing.T, w *fakeWire) (packets []P, sent []packet) {
	t.Helper()
	parsed, all := w.all(t)
	for i, p := range parsed {
		if p, ok := p.(P); ok {
			packets, sent = append(packets, p), append(sent, all[i])
		}
	}
	return packets, sent
}

// start runs a Source on a fake wire inside a synctest bubble.
func start(t *testing.T, cfg source.Config) (*source.Source, *fakeWire) {
	t.Helper()
	w := &fakeWire{}
	s, err := source.OpenWire(config(cfg), func() (source.Wire, error) { return w, nil })
	require.NoError(t, err)
	run(t, s)
	return s, w
}

// config fills in what every test needs.
func config(cfg source.Config) source.Config {
	cfg.CID, cfg.Name = bench, "bench source"
	if cfg.Priority == 0 {
		cfg.Priority = sacn.DefaultPriority
	}
	return cfg
}

func run(t *testing.T, s *source.Source) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx) }()
	synctest.Wait()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		require.NoError(t, s.Close())
	})
}

// frames sends n frames at 44 Hz.
func frames(t *testing.T, s *source.Source, n int, addresses []uint16, slots [][]byte) {
	t.Helper()
	for range n {
		require.NoError(t, s.SendFrame(addresses, slots, false))
		time.Sleep(frameGap)
	}
}
