package link_test

import (
	"fmt"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// sink is a socket on loopback that nobody reads: what is too much is dropped.
func sink(t testing.TB) netip.AddrPort {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	return netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), uint16(c.LocalAddr().(*net.UDPAddr).Port))
}

func toSink(t testing.TB) *link.Link {
	t.Helper()
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(t), To: []netip.AddrPort{sink(t)}, InARow: 1 << 15})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })
	return l
}

// linkFrame sends frame after frame, all universes changed, 44 Hz apart.
func linkFrame(t testing.TB, n int) func() {
	l := toSink(t)
	addresses, slots := universes(n)
	now := time.Now()
	return func() {
		now = now.Add(frameGap)
		for _, s := range slots {
			s[0]++
		}
		if err := l.SendFrameAt(now, addresses, slots, false); err != nil {
			t.Fatal(err)
		}
	}
}

// naiveFrame does the same the plain way: a new packet and net.Addr each time.
func naiveFrame(t testing.TB, n int) func() {
	to := sink(t)
	c, err := net.ListenPacket("udp4", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	addresses, slots := universes(n)
	var sequence uint8
	return func() {
		sequence = artnet.NextSequence(sequence)
		for i, a := range addresses {
			slots[i][0]++
			d := artnet.Dmx{Sequence: sequence, PortAddress: artnet.PortAddress(a), Data: slots[i]}
			b, err := d.AppendBinary(nil)
			if err == nil {
				_, err = c.WriteTo(b, net.UDPAddrFromAddrPort(to))
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
}

func BenchmarkSendFrame(b *testing.B) {
	for _, n := range []int{4, 64, 512} {
		b.Run(fmt.Sprintf("%d universes", n), func(b *testing.B) {
			b.ReportAllocs()
			frame := linkFrame(b, n)
			frame()
			for b.Loop() {
				frame()
			}
		})
		b.Run(fmt.Sprintf("%d universes baseline", n), func(b *testing.B) {
			b.ReportAllocs()
			frame := naiveFrame(b, n)
			for b.Loop() {
				frame()
			}
		})
		// Both in turn, so that what else the machine does hits both alike.
		b.Run(fmt.Sprintf("%d universes ratio", n), func(b *testing.B) {
			ours, naive := linkFrame(b, n), naiveFrame(b, n)
			ours()
			var took, baseline time.Duration
			for b.Loop() {
				t0 := time.Now()
				ours()
				t1 := time.Now()
				naive()
				took, baseline = took+t1.Sub(t0), baseline+time.Since(t1)
			}
			b.ReportMetric(float64(took)/float64(baseline), "of-baseline")
		})
		b.Run(fmt.Sprintf("%d universes unchanged", n), func(b *testing.B) {
			b.ReportAllocs()
			l := toSink(b)
			addresses, slots := universes(n)
			now := time.Now()
			require.NoError(b, l.SendFrameAt(now, addresses, slots, true))
			for b.Loop() {
				now = now.Add(frameGap)
				if err := l.SendFrameAt(now, addresses, slots, false); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
