package link_test

import (
	"encoding/binary"
	"fmt"
	"net"
	"net/netip"
	"runtime"
	"sync/atomic"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// rig is n universes on devices of each on loopback, each an address of its
// own and a socket that nobody reads.
func rig(t testing.TB, n, each int) (l *link.Link, devices []netip.AddrPort) {
	t.Helper()
	port := outside.FreePort(t)
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: port})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })
	for i := range (n + each - 1) / each {
		at := netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 1, byte(i >> 8), byte(i)}), uint16(port))
		c, err := net.ListenUDP("udp4", net.UDPAddrFromAddrPort(at))
		require.NoError(t, err)
		t.Cleanup(func() { c.Close() })
		devices = append(devices, at)
		for k := range min(each, n-i*each) {
			a := artnet.PortAddress(1 + i*each + k)
			r := artnet.PollReply{NumPorts: 1, BindIndex: uint8(k + 1), NetSwitch: a.Net(), SubSwitch: a.Sub()}
			r.PortTypes[0], r.SwOut[0] = artnet.PortOutput, a.Universe()
			l.Heard(at, &r)
		}
	}
	return l, devices
}

// rigFrame sends frame after frame, all universes changed, 44 Hz apart.
func rigFrame(t testing.TB, l *link.Link, n int) func() {
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

// bareFrame is the raw limit: sendmmsg of 64 over headers made beforehand,
// with nothing encoded.
func bareFrame(t testing.TB, n, each int, devices []netip.AddrPort) func() {
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	raw, err := c.SyscallConn()
	require.NoError(t, err)
	messages, names, vectors := make([]unix.Mmsghdr, n), make([]unix.RawSockaddrInet4, n), make([]unix.Iovec, n)
	for i := range messages {
		to := devices[i/each]
		port := binary.NativeEndian.Uint16(binary.BigEndian.AppendUint16(nil, to.Port()))
		names[i] = unix.RawSockaddrInet4{Family: unix.AF_INET, Addr: to.Addr().As4(), Port: port}
		vectors[i].Base = unsafe.SliceData(make([]byte, 530))
		vectors[i].SetLen(530)
		h := &messages[i].Hdr
		h.Name, h.Namelen, h.Iov = (*byte)(unsafe.Pointer(&names[i])), unix.SizeofSockaddrInet4, &vectors[i]
		h.SetIovlen(1)
	}
	send := func(fd uintptr) bool {
		for at := 0; at < n; {
			sent, _, errno := unix.Syscall6(unix.SYS_SENDMMSG, fd, uintptr(unsafe.Pointer(&messages[at])), uintptr(min(64, n-at)), 0, 0, 0)
			if errno != 0 {
				panic(errno)
			}
			at += int(sent)
		}
		return true
	}
	return func() {
		if err := raw.Write(send); err != nil {
			t.Fatal(err)
		}
	}
}

// SendFrame, encoding and all, beside the bare loop that sends as many
// datagrams of the same size to the same devices. Both in turn, so that what
// else the machine does hits both alike. "of-bare" is packets a second over
// those of the bare loop; the goals are 0.90, and 1.8 from 4 a device on.
func BenchmarkSendBesideBare(b *testing.B) {
	for _, each := range []int{1, 2, 4, 8} {
		b.Run(fmt.Sprintf("512 universes, %d a device", each), func(b *testing.B) {
			b.ReportAllocs()
			const n = 512
			l, devices := rig(b, n, each)
			frame, bare := rigFrame(b, l, n), bareFrame(b, n, each, devices)
			frame()
			var ours, theirs time.Duration
			for b.Loop() {
				t0 := time.Now()
				frame()
				t1 := time.Now()
				bare()
				ours, theirs = ours+t1.Sub(t0), theirs+time.Since(t1)
			}
			b.ReportMetric(float64(theirs)/float64(ours), "of-bare")
			b.ReportMetric(float64(n*b.N)/ours.Seconds(), "packets/s")
			b.ReportMetric(float64(n*b.N)/theirs.Seconds(), "bare-packets/s")
		})
	}
}

// What a universe costs in a frame where all changed: the time of the process
// and the kernel for it, to devices of 4 universes. "%core" is that at 44 Hz.
func BenchmarkCostOfAUniverse(b *testing.B) {
	for _, n := range []int{1, 16, 256, 1024} {
		b.Run(fmt.Sprintf("%d universes", n), func(b *testing.B) {
			b.ReportAllocs()
			l, _ := rig(b, n, 4)
			frame := rigFrame(b, l, n)
			frame()
			began := cpuTime(b)
			for b.Loop() {
				frame()
			}
			took := (cpuTime(b) - began).Seconds() / float64(b.N)
			b.ReportMetric(1e9*took/float64(n), "cpu-ns/universe")
			b.ReportMetric(100*44*took, "%core")
		})
	}
}

// cpuTime is what this process has used, in it and in the kernel.
func cpuTime(t testing.TB) time.Duration {
	var u unix.Rusage
	require.NoError(t, unix.Getrusage(unix.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// What a universe takes in memory, and what a frame costs where nothing is due,
// without and with the plan made anew, which happens when a device comes or
// goes.
func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{1024, 32767} {
		before := heap()
		l := toSink(b)
		empty := heap()
		addresses, slots := universes(n)
		given, now := heap(), time.Now()
		require.NoError(b, l.SendFrameAt(now, addresses, slots, false))
		used := heap() - given
		frame := func(b *testing.B) {
			if err := l.SendFrameAt(now, addresses, slots, false); err != nil {
				b.Fatal(err)
			}
		}
		b.Run(fmt.Sprintf("%d universes kept", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				frame(b)
			}
			b.ReportMetric(float64(used)/float64(n), "bytes/universe")
			b.ReportMetric(float64(empty-before), "bytes/link")
		})
		b.Run(fmt.Sprintf("%d universes anew", n), func(b *testing.B) {
			device, at := artnet.PollReply{NumPorts: 1, BindIndex: 1}, netip.MustParseAddrPort("127.1.0.9:1")
			for b.Loop() {
				device.PortTypes[0] ^= artnet.PortOutput
				l.Heard(at, &device)
				frame(b)
			}
		})
	}
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// small is a device with room for few datagrams, which takes its time to read
// each. It counts those it got.
func small(t testing.TB, room int, each time.Duration) (at netip.AddrPort, got *atomic.Int64) {
	t.Helper()
	const oneTakes = 1280 // bytes of a socket's room for 530 on loopback, measured
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	require.NoError(t, c.SetReadBuffer(room*oneTakes/2)) // the kernel doubles it, socket(7)
	got = new(atomic.Int64)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for buf := make([]byte, 1024); ; {
			if _, err := c.Read(buf); err != nil {
				return
			}
			got.Add(1)
			for until := time.Now().Add(each); time.Now().Before(until); {
			}
		}
	}()
	t.Cleanup(func() { c.Close(); <-done })
	return netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), uint16(c.LocalAddr().(*net.UDPAddr).Port)), got
}

// How much a small device loses of its universes, all changing at 44 Hz in real
// time, by how many datagrams it gets in a row.
func BenchmarkSmallDevice(b *testing.B) {
	for _, c := range []struct{ universes, room int }{{16, 12}, {32, 12}, {64, 16}} {
		for _, row := range []int{8, 512} {
			b.Run(fmt.Sprintf("%d universes, room for %d, %d in a row", c.universes, c.room, row), func(b *testing.B) {
				at, got := small(b, c.room, 100*time.Microsecond)
				l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(b), To: []netip.AddrPort{at}, InARow: row})
				require.NoError(b, err)
				defer l.Close()
				addresses, slots := universes(c.universes)
				next := time.Now()
				for b.Loop() {
					for _, s := range slots {
						s[0]++
					}
					require.NoError(b, l.SendFrame(addresses, slots, false))
					next = next.Add(frameGap)
					time.Sleep(time.Until(next))
				}
				b.ReportMetric(100-100*float64(got.Load())/float64(b.N*c.universes), "%lost")
			})
		}
	}
}
