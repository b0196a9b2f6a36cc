package link_test

import (
	"net"
	"net/netip"
	"os"
	"os/exec"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
	"linkboy/artnet/peer"
)

// inNamespace runs a test again in a process with a network of its own, and
// reports whether this is that process. Making one takes rights: without them
// the test is skipped, or fails where LINKBOY_REQUIRE_TOOLS is set for root.
func inNamespace(t *testing.T) bool {
	t.Helper()
	const inside = "LINKBOY_TEST_NAMESPACE"
	if os.Getenv(inside) != "" {
		return true
	}
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v", "-test.timeout=2m")
	cmd.Env = append(os.Environ(), inside+"=1")
	cmd.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNET}
	_, noTool := exec.LookPath("ip")
	var out strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &out
	err := noTool
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" && os.Getuid() == 0 {
			t.Fatalf("%v: this test needs iproute2 and the right to make a network namespace", err)
		}
		t.Skipf("%v: this test needs iproute2 and the right to make a network namespace", err)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatalf("in a network namespace: %v\n%s", err, out.String())
	}
	if testing.Verbose() {
		t.Log(out.String())
	}
	return false
}

func ip(t *testing.T, args string) {
	t.Helper()
	out, err := exec.Command("ip", strings.Fields(args)...).CombinedOutput()
	require.NoError(t, err, "ip %s: %s", args, out)
}

// cable is a network of two interfaces joined by a cable: ours with address
// 192.0.2.10, and the far end, where every datagram is counted that comes out.
type cable struct {
	n [256]atomic.Int64 // ArtDmx by the last byte of where they went
}

// alive are devices whose hardware address is known; others are not there.
func newCable(t *testing.T, alive ...string) *cable {
	t.Helper()
	ip(t, "link set lo up")
	ip(t, "link add near type veth peer name far")
	ip(t, "link set far up")
	ip(t, "addr add 192.0.2.10/24 brd + dev near")
	c := &cable{}
	c.up(t, alive...)
	fd, err := unix.Socket(unix.AF_PACKET, unix.SOCK_DGRAM|unix.SOCK_CLOEXEC, int(swap(unix.ETH_P_IP)))
	require.NoError(t, err)
	far, err := net.InterfaceByName("far")
	require.NoError(t, err)
	require.NoError(t, unix.Bind(fd, &unix.SockaddrLinklayer{Protocol: swap(unix.ETH_P_IP), Ifindex: far.Index}))
	require.NoError(t, unix.SetsockoptInt(fd, unix.SOL_SOCKET, unix.SO_RCVBUFFORCE, 1<<24))
	go func() {
		for buf := make([]byte, 1<<16); ; {
			n, err := unix.Read(fd, buf)
			if err != nil {
				continue
			}
			c.count(buf[:n])
		}
	}()
	return c
}

func swap(v uint16) uint16 { return v<<8 | v>>8 }

// count takes an IPv4 packet. One long datagram is many of one size.
func (c *cable) count(b []byte) {
	const ipHeader, udpHeader, dmx = 20, 8, 530
	if len(b) < ipHeader+udpHeader+20 || b[9] != unix.IPPROTO_UDP {
		return
	}
	data := b[ipHeader+udpHeader:]
	if code, err := artnet.PeekOpCode(data); err == nil && code == artnet.OpDmx {
		c.n[b[19]].Add(int64(len(data) / dmx))
	}
}

func (c *cable) up(t *testing.T, alive ...string) {
	t.Helper()
	ip(t, "link set near up")
	for _, a := range alive {
		ip(t, "neigh replace "+a+" lladdr 02:00:00:00:00:21 dev near nud permanent")
	}
}

// fade sends changing frames of n universes at 44 Hz in real time. The link is
// told when each is due, so that a busy machine's late ones are not held back.
func fade(l *link.Link, n int, during time.Duration) (frames int) {
	addresses, slots := universes(n)
	began := time.Now()
	for ; time.Since(began) < during; frames++ {
		for _, s := range slots {
			s[0] = byte(began.Nanosecond()>>10) + byte(frames)
		}
		due := began.Add(time.Duration(frames) * frameGap)
		_ = l.SendFrameAt(due, addresses, slots, frames == 0)
		time.Sleep(time.Until(due.Add(frameGap)))
	}
	return frames
}

// Devices without power answer no ARP. What is sent to them waits in the
// kernel for seconds, and must not use up the room that others need.
func TestDevicesWithoutPower(t *testing.T) {
	if !inNamespace(t) {
		return
	}
	c := newCable(t, "192.0.2.21", "192.0.2.22")
	to := []netip.AddrPort{at("192.0.2.21"), at("192.0.2.22")}
	for last := byte(31); last <= 46; last++ {
		to = append(to, netip.AddrPortFrom(netip.AddrFrom4([4]byte{192, 0, 2, last}), 0))
	}
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("192.0.2.10"), To: to})
	require.NoError(t, err)
	background(t, l)
	const n = 8
	frames := fade(l, n, 6*time.Second)
	for _, alive := range []int{21, 22} {
		outside.Await(t, "every datagram came", func() bool { return c.n[alive].Load() == int64(frames*n) })
	}
	require.Zero(t, c.n[31].Load())
	require.Zero(t, l.Stats().Held)
}

func at(addr string) netip.AddrPort { return netip.AddrPortFrom(netip.MustParseAddr(addr), 0) }

// The cable is pulled and put back, and the address goes and comes, as it does
// with a router that starts again: output resumes by itself.
func TestInterfaceDownAndUp(t *testing.T) {
	if !inNamespace(t) {
		return
	}
	c := newCable(t, "192.0.2.21")
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("192.0.2.10"), To: []netip.AddrPort{at("192.0.2.21")}})
	require.NoError(t, err)
	background(t, l)
	flows := func(what string) {
		before := c.n[21].Load()
		outside.Await(t, what, func() bool {
			fade(l, 2, frameGap)
			return c.n[21].Load() > before+20
		})
	}
	flows("output")
	for range 2 {
		ip(t, "link set near down")
		failed := l.Stats().SendErrors
		fade(l, 2, time.Second)
		require.Greater(t, l.Stats().SendErrors, failed)
		c.up(t, "192.0.2.21")
		flows("output after the cable was back")
	}
	for range 2 {
		ip(t, "addr del 192.0.2.10/24 dev near")
		fade(l, 2, 1500*time.Millisecond)
		ip(t, "addr add 192.0.2.10/24 brd + dev near")
		c.up(t, "192.0.2.21")
		flows("output after the address was back")
	}
}

// What devices without power hold fills a socket: Send waits for room until
// its deadline and goes on when there is; SendAside never waits, and the lane
// beside a full one is free.
func TestSocketThatIsFull(t *testing.T) {
	if !inNamespace(t) {
		return
	}
	c := newCable(t, "192.0.2.21")
	all, err := peer.Interfaces()
	require.NoError(t, err)
	near, err := peer.Find(all, netip.MustParseAddr("192.0.2.10"))
	require.NoError(t, err)
	s, err := peer.Open(near, artnet.Port)
	require.NoError(t, err)
	defer s.Close()
	dmx, err := (&artnet.Dmx{Data: make([]byte, 512)}).AppendBinary(nil)
	require.NoError(t, err)
	dead := peer.NewBatch(1)
	const most = 400
	for k := range most * 100 {
		dead.Add(dmx, netip.AddrPortFrom(netip.AddrFrom4([4]byte{192, 0, 2, byte(100 + k/most)}), artnet.Port))
	}
	require.NoError(t, s.SendAside(dead, 1))
	require.Equal(t, dead.Len(), dead.Tried())
	require.ErrorIs(t, dead.Err(dead.Len()-1), unix.ENOBUFS)

	dead.Reset()
	for k := range most * 100 {
		dead.Add(dmx, netip.AddrPortFrom(netip.AddrFrom4([4]byte{192, 0, 2, byte(100 + k/most)}), artnet.Port))
	}
	require.NoError(t, s.SetWriteDeadline(time.Now().Add(50*time.Millisecond)))
	require.ErrorIs(t, s.Send(dead), os.ErrDeadlineExceeded)
	tried := dead.Tried()
	require.Less(t, tried, dead.Len())

	good := peer.NewBatch(1)
	good.Add(dmx, netip.MustParseAddrPort("192.0.2.21:6454"))
	require.NoError(t, s.SendAside(good, 2))
	require.NoError(t, good.Err(0))
	outside.Await(t, "it arrived", func() bool { return c.n[21].Load() == 1 })

	outside.Await(t, "the kernel gives the dead up, and there is room", func() bool {
		_ = s.SetWriteDeadline(time.Now().Add(50 * time.Millisecond))
		_ = s.Send(dead)
		return dead.Tried() > tried
	})
}
