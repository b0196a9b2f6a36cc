package link_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// heard is a line of testdata/receiver.js.
type heard struct {
	Listening   bool
	Slots       []int
	Controllers []string
}

// foreignNode starts testdata/receiver.js, and stops it with the test.
func foreignNode(t *testing.T, port int) <-chan heard {
	t.Helper()
	node, modules := outside.NodeModules(t, "dmxnet")
	cmd := exec.Command(node, filepath.Join("testdata", "receiver.js"))
	cmd.Env = append(os.Environ(), "NODE_PATH="+modules, fmt.Sprintf("PORT=%d", port))
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	lines, done := make(chan heard), make(chan struct{})
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(stdout); s.Scan(); {
			var h heard
			if json.Unmarshal(s.Bytes(), &h) != nil {
				continue // not from our script
			}
			select {
			case lines <- h:
			case <-done:
				return
			}
		}
	}()
	t.Cleanup(func() {
		close(done)
		stdin.Close()
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	return lines
}

func hear(t *testing.T, lines <-chan heard) heard {
	t.Helper()
	select {
	case h, ok := <-lines:
		require.True(t, ok, "the foreign node ended")
		return h
	case <-time.After(outside.Patience):
		t.Fatalf("the foreign node said nothing for %v", outside.Patience)
		return heard{}
	}
}

// A node that is not ours: the npm package dmxnet 0.9.0. It is found by our
// poll although it answers by broadcast, from a port of the system's choosing
// and with 213 bytes, and it gets our bytes. It always answers to the Art-Net
// port, so the link is there. It listens elsewhere, because a program that has
// 127.0.0.1 on the Art-Net port would take what is meant for it.
func TestForeignNode(t *testing.T) {
	port := outside.FreePort(t)
	lines := foreignNode(t, port)
	require.True(t, hear(t, lines).Listening)
	l, err := link.Open(link.Config{
		Bind: netip.MustParseAddr("127.0.1.40"),
		To:   []netip.AddrPort{netip.AddrPortFrom(netip.MustParseAddr("127.0.0.1"), uint16(port))},
	})
	require.NoError(t, err)
	background(t, l)

	address := artnet.NewPortAddress(99, 9, 9)
	theirs := netip.MustParseAddrPort("127.0.0.1:6454")
	outside.Await(t, "the foreign node is found", func() bool {
		return slices.ContainsFunc(l.Nodes(), func(n link.NodeInfo) bool {
			return n.Addr == theirs && slices.Contains(n.Ports, address)
		})
	})
	i := slices.IndexFunc(l.Nodes(), func(n link.NodeInfo) bool { return n.Addr == theirs })
	require.Equal(t, "foreign node", l.Nodes()[i].Name)

	for _, size := range []int{512, 24, 2} {
		slots := make([]byte, size)
		want := make([]int, size)
		for i := range slots {
			slots[i] = byte(i*7 + size)
			want[i] = int(slots[i])
		}
		require.NoError(t, l.SendFrame([]uint16{uint16(address)}, [][]byte{slots}, true))
		require.Equal(t, want, hear(t, lines).Slots)
	}
	// It also answers of itself, so it may be found before our poll has reached it.
	outside.Await(t, "the foreign node knows us by our poll", func() bool {
		require.NoError(t, l.SendFrame([]uint16{uint16(address)}, [][]byte{{1, 2}}, true))
		select {
		case h := <-lines:
			return slices.Contains(h.Controllers, "127.0.1.40")
		default:
			return false // a frame may be held back until the line is clear
		}
	})
}
