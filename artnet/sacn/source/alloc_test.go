//go:build !race

package source_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// SendFrame makes nothing, over a real socket. The race detector allocates, so
// this holds only without it.
func TestSendFrameAllocs(t *testing.T) {
	s := toSink(t)
	addresses, slots := universes(64)
	now := time.Now()
	for _, c := range []struct {
		name           string
		changed, first bool
	}{{"all changed", true, false}, {"nothing changed", false, false}, {"first of a cue", false, true}} {
		frame := func() {
			now = now.Add(frameGap)
			for i := range slots {
				if c.changed {
					slots[i][0]++
				}
			}
			if err := s.SendFrameAt(now, addresses, slots, c.first); err != nil {
				t.Fatal(err)
			}
		}
		frame()
		require.Zero(t, testing.AllocsPerRun(100, frame), c.name)
	}
	require.NotZero(t, s.Stats().Repeats)
	require.NotZero(t, s.Stats().Syncs)
}
