package source_test

import (
	"context"
	"net"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

// inside is set in the test's own network namespace.
const inside = "LINKBOY_TEST_NAMESPACE"

// namespace runs the test again in a network namespace of its own, where
// interfaces may come and go. It reports whether this is that run.
func namespace(t *testing.T) bool {
	t.Helper()
	if os.Getenv(inside) != "" {
		return true
	}
	try := exec.Command("unshare", "-rn", "ip", "link", "add", "v0", "type", "veth", "peer", "name", "v1")
	if out, err := try.CombinedOutput(); err != nil {
		if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" && os.Geteuid() == 0 {
			t.Fatalf("no network namespace: %v: %s", err, out)
		}
		t.Skipf("this test needs the right to make network namespaces: %v: %s", err, out)
	}
	cmd := exec.Command("unshare", "-rn", os.Args[0], "-test.run", "^"+t.Name()+"$", "-test.v")
	cmd.Env = append(os.Environ(), inside+"=1")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	return false
}

func ip(t *testing.T, args string) {
	t.Helper()
	out, err := exec.Command("ip", strings.Fields(args)...).CombinedOutput()
	require.NoError(t, err, "ip %s: %s", args, out)
}

// An interface that goes down and up, and one that is taken out and put in again
// with another address: the source goes on by itself, numbers and all.
func TestInterfaceDownAndUp(t *testing.T) {
	if !namespace(t) {
		return
	}
	plug := func(address string) {
		ip(t, "link add v0 type veth peer name v1")
		ip(t, "link set v1 up")
		ip(t, "link set v0 up")
		ip(t, "addr add "+address+"/24 dev v0")
	}
	ip(t, "link set lo up")
	plug("10.9.0.1")
	s, err := source.Open(config(source.Config{Interface: "v0"}))
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx) }()

	slots := [][]byte{{0}}
	var bad error
	// arrives sends changing frames until one is heard on v0.
	arrives := func(from string) {
		t.Helper()
		v0, err := net.InterfaceByName("v0")
		require.NoError(t, err)
		r, err := net.ListenMulticastUDP("udp4", v0, &net.UDPAddr{IP: sacn.Universe(1).Group().AsSlice(), Port: sacn.Port})
		require.NoError(t, err)
		defer r.Close()
		b := make([]byte, 2048)
		for end := time.Now().Add(outside.Patience); time.Now().Before(end); {
			slots[0][0]++
			bad = s.SendFrame([]uint16{1}, slots, false)
			require.NoError(t, r.SetReadDeadline(time.Now().Add(time.Second/44)))
			n, at, err := r.ReadFromUDP(b)
			if err != nil {
				continue
			}
			var d sacn.Data
			require.NoError(t, d.Parse(b[:n]))
			require.Equal(t, from, at.IP.String())
			return
		}
		require.FailNow(t, "nothing is heard", "%v; %+v", bad, s.Stats())
	}
	fails := func() {
		t.Helper()
		for end := time.Now().Add(outside.Patience); time.Now().Before(end); time.Sleep(time.Second / 44) {
			slots[0][0]++
			if bad = s.SendFrame([]uint16{1}, slots, false); bad != nil {
				return
			}
		}
		require.FailNow(t, "sending to nowhere succeeds")
	}
	arrives("10.9.0.1")
	ip(t, "link set v0 down")
	fails()
	t.Logf("while it is down: %v", bad)
	ip(t, "link set v0 up")
	arrives("10.9.0.1")
	ip(t, "link del v0")
	fails()
	t.Logf("while it is out: %v", bad)
	plug("10.9.0.7")
	arrives("10.9.0.7")
	require.NotZero(t, s.Stats().Reopened)
	cancel()
	require.NoError(t, <-done)
}

// NoLoop keeps multicast from listeners on this machine.
func TestNoLoop(t *testing.T) {
	if !namespace(t) {
		return
	}
	ip(t, "link set lo up")
	ip(t, "link add v0 type veth peer name v1")
	ip(t, "link set v1 up")
	ip(t, "link set v0 up")
	ip(t, "addr add 10.9.0.1/24 dev v0")
	v0, err := net.InterfaceByName("v0")
	require.NoError(t, err)
	r, err := net.ListenMulticastUDP("udp4", v0, &net.UDPAddr{IP: sacn.Universe(1).Group().AsSlice(), Port: sacn.Port})
	require.NoError(t, err)
	defer r.Close()
	for _, noLoop := range []bool{true, false} {
		s, err := source.Open(config(source.Config{Interface: "v0", NoLoop: noLoop}))
		require.NoError(t, err)
		require.NoError(t, s.SendFrame([]uint16{1}, [][]byte{{map[bool]byte{true: 1, false: 2}[noLoop]}}, true))
		if !noLoop {
			require.NoError(t, r.SetReadDeadline(time.Now().Add(outside.Patience)))
			b := make([]byte, 2048)
			n, _, err := r.ReadFromUDP(b)
			require.NoError(t, err)
			var d sacn.Data
			require.NoError(t, d.Parse(b[:n]))
			require.Equal(t, []byte{2}, d.Slots, "the first source is not heard, or it would have come before")
		}
		require.NoError(t, s.Close())
	}
}
