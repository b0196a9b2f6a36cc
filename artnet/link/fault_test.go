package link_test

import (
	"errors"
	"net"
	"net/netip"
	"runtime"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// counter is a device that counts what comes, on a socket of its own.
type counter struct {
	addr netip.AddrPort
	n    atomic.Int64
}

func newCounter(t *testing.T) *counter {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	require.NoError(t, c.SetReadBuffer(1<<20))
	k := &counter{addr: netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), uint16(c.LocalAddr().(*net.UDPAddr).Port))}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for buf := make([]byte, 2048); ; {
			n, err := c.Read(buf)
			if err != nil {
				return
			}
			if code, err := artnet.PeekOpCode(buf[:n]); err == nil && code == artnet.OpDmx {
				k.n.Add(1)
			}
		}
	}()
	t.Cleanup(func() { c.Close(); <-done })
	return k
}

// A device whose port is closed (the system hears ICMP "port unreachable") and
// one that cannot be reached at all cost the others not one datagram.
func TestDeadDeviceCostsTheOthersNothing(t *testing.T) {
	first, last := newCounter(t), newCounter(t)
	closed := netip.AddrPortFrom(first.addr.Addr(), uint16(outside.FreePort(t)))
	unreachable := netip.MustParseAddrPort("203.0.113.9:6454") // no way there from a loopback address
	l, err := link.Open(link.Config{
		Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(t),
		To: []netip.AddrPort{first.addr, closed, unreachable, last.addr},
	})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })
	const frames, n = 200, 6
	addresses, slots := universes(n)
	now := time.Now()
	for range frames {
		now = now.Add(frameGap)
		for _, s := range slots {
			s[0]++
		}
		require.Error(t, l.SendFrameAt(now, addresses, slots, false))
		outside.Await(t, "the frame arrived", func() bool { // or a socket nobody has time to read would overflow
			return first.n.Load() >= int64(l.Stats().Packets/3) && last.n.Load() >= int64(l.Stats().Packets/3)
		})
	}
	require.Equal(t, int64(frames*n), first.n.Load())
	require.Equal(t, int64(frames*n), last.n.Load())
	require.Equal(t, uint64(frames*n), l.Stats().SendErrors)
	require.Zero(t, l.Stats().Held)
	require.Zero(t, l.Stats().Reopened)
}

// An hour of a show with its network coming and going, in fake time: what the
// link holds on to at the end is what it held after a minute.
func TestMemoryIsFlatOverAnHour(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		cfg := paced
		cfg.Sync = true
		l, w := start(t, cfg)
		w.forget = true
		addresses, slots := universes(10)
		minute := func(k int) uint64 {
			for range 44 * 60 {
				slots[k%10][0]++
				_ = l.SendFrame(addresses, slots, false)
				time.Sleep(frameGap)
			}
			w.failWith(nil)
			if k%10 == 8 { // every tenth minute nothing goes out
				w.failWith(func(netip.AddrPort) error { return errors.New("refused") })
			}
			w.receive(nodeA, reply(t, 1, 1, 2))
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			return m.HeapAlloc
		}
		minute(0)
		first, last := minute(1), uint64(0)
		for k := 2; k < 60; k++ {
			last = minute(k)
		}
		require.Less(t, last, first+first/10, "bytes on the heap after a minute and after an hour")
		require.Greater(t, l.Stats().Packets, uint64(44*3600))
	})
}
