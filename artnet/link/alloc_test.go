//go:build !race

package link_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// SendFrame makes nothing, over real sockets. The race detector allocates, so
// this holds only without it.
func TestSendFrameAllocs(t *testing.T) {
	changed := linkFrame(t, 64)
	changed()
	require.Zero(t, testing.AllocsPerRun(100, changed), "all changed")

	l := toSink(t)
	addresses, slots := universes(64)
	now := time.Now()
	for _, first := range []bool{false, true} {
		frame := func() {
			now = now.Add(frameGap)
			if err := l.SendFrameAt(now, addresses, slots, first); err != nil {
				t.Fatal(err)
			}
		}
		frame()
		require.Zero(t, testing.AllocsPerRun(100, frame), "nothing changed; first %v", first)
	}
	require.NotZero(t, l.Stats().Repeats)
}
