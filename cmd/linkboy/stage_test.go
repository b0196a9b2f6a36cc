package main

import (
	"context"
	"net/netip"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
	"linkboy/cues/showfile"
)

// rehearsal is a daemon serving Tidewater to a node that the test can read.
type rehearsal struct {
	*daemon
	node *fakenode.Node
	show string // its folder
	bind string // the controller's address on the lamps' network
}

// newStage serves the demo show from a folder; host is the last byte of the
// loopback address, so that tests do not meet. flags come after its own.
func newStage(t testing.TB, host int, flags ...string) *rehearsal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems.Error())

	bind := netip.AddrFrom4([4]byte{127, 0, 3, byte(host)})
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(bind.Next(), artnet.Port), Ports: portsOf(show), Name: "test node",
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	runFor(t, node.Run)

	s := &rehearsal{
		daemon: startDaemon(t, append([]string{"serve", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", bind.String()}, flags...)...),
		node:   node, show: dir, bind: bind.String(),
	}
	outside.Await(t, "the node has light", func() bool { return len(s.slots()) > 0 })
	return s
}

// slots are the bytes that the node puts out on the first universe.
func (s *rehearsal) slots() []byte {
	slots, _, _, _ := s.node.Frame(1)
	return slots
}

// settled waits until the bytes at the node stay the same.
func (s *rehearsal) settled() []byte {
	s.t.Helper()
	outside.Await(s.t, "the set is still", func() bool { st := s.state(); return st.Fade == nil || st.Held })
	var last []byte
	outside.Await(s.t, "the node has the last frame", func() bool {
		last = s.slots()
		return string(last) == string(s.frames()["0:0:1"])
	})
	return last
}

// runFor runs something until the test ends, and waits for its end.
func runFor(t testing.TB, run func(context.Context) error) {
	ctx, cancel := context.WithCancel(context.Background())
	var running sync.WaitGroup
	running.Go(func() { _ = run(ctx) })
	t.Cleanup(func() { cancel(); running.Wait() })
}
