package play_test

import (
	"context"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// TestSnapshotsAreWhole: readers that ask without pause, while fades run and
// locations change, never see half of a state, nor an older one after a newer.
func TestSnapshotsAreWhole(t *testing.T) {
	e := play.New(play.Config{Rate: 1000})
	ctx, cancel := context.WithCancel(t.Context())
	var all sync.WaitGroup
	all.Go(func() { e.Run(ctx) })
	for range 3 {
		all.Go(func() {
			var s play.Snapshot
			for last := uint64(0); ctx.Err() == nil; last = s.Frame {
				e.Snapshot(&s)
				if s.Frame < last {
					t.Errorf("frame %d after frame %d", s.Frame, last)
					return
				}
				if !whole(&s) {
					t.Errorf("frame %d: %d slots %v make %v", s.Frame, len(s.Still), s.Still, s.Slots)
					return
				}
			}
		})
	}
	for i := range 200 {
		n := 1 + i%17
		require.NoError(t, e.Load(flat(n), make(track.Still, n)))
		start(t, e, straight(n, 0, 1, 20*time.Millisecond), play.StartOptions{})
		require.NoError(t, e.Wait(ctx))
	}
	cancel()
	all.Wait()
}

// whole says whether every slot of a flat layout is at one value, and the bytes
// show it.
func whole(s *play.Snapshot) bool {
	for i, v := range s.Still {
		w := uint16(float64(v)*65535 + 0.5)
		if v != s.Still[0] || s.Slots[0][2*i] != byte(w>>8) || s.Slots[0][2*i+1] != byte(w) {
			return false
		}
	}
	return len(s.Slots) == 0 || len(s.Slots[0]) == 2*len(s.Still)
}

func TestSnapshotReusesItsSlices(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		e := play.New(play.Config{})
		e.Begin(time.Now())
		var s play.Snapshot
		for _, n := range []int{5, 2, 9, 0, 3} {
			l, still := flat(n), all(n, 1)
			if n == 0 {
				l = &track.Layout{}
			}
			require.NoError(t, e.Load(l, still))
			e.Turn(time.Now())
			e.Snapshot(&s)
			require.Len(t, s.Still, n)
			require.Len(t, s.Addresses, len(l.Universes))
			require.Len(t, s.Slots, len(l.Universes))
			for _, bytes := range s.Slots {
				require.Len(t, bytes, 2*n)
			}
		}
		frame := s.Frame
		for range 5 {
			e.Snapshot(&s)
			require.Equal(t, frame, s.Frame, "the newest stays the newest until there is another")
		}
		var other play.Snapshot
		e.Snapshot(&other)
		s.Slots[0][0], s.Still[0], s.Addresses[0] = 99, 99, 99
		e.Snapshot(&other)
		require.Equal(t, []byte{255, 255, 255, 255, 255, 255}, other.Slots[0], "a snapshot is the reader's own")
		require.Equal(t, all(3, 1), other.Still)
	})
}

// TestSnapshotShowsCommandsAtOnce: what a command does can be seen before the
// next frame is due.
func TestSnapshotShowsCommandsAtOnce(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 1, time.Minute), play.StartOptions{})
		time.Sleep(time.Millisecond)
		frame := now(t, e).Frame
		require.NoError(t, e.Hold())
		s := now(t, e)
		require.True(t, s.Held)
		require.Equal(t, frame, s.Frame)
	})
}
