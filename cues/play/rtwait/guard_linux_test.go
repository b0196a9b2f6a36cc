package rtwait_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"linkboy/cues/play"
	"linkboy/cues/play/rtwait"
	"linkboy/cues/track"
)

type told struct {
	priority rtwait.Priority
	why      error
}

// TestGuardLowersAThreadRunWild: a real-time thread that does not sleep would keep
// others off its core; RLIMIT_RTTIME (setrlimit(2)) tells of it.
func TestGuardLowersAThreadRunWild(t *testing.T) {
	var before, during, after unix.Rlimit
	require.NoError(t, unix.Getrlimit(unix.RLIMIT_RTTIME, &before))
	heard := make(chan told, 2)
	w := rtwait.New(func(p rtwait.Priority, why error) { heard <- told{p, why} })
	w.Begin()
	first := <-heard
	if first.priority != rtwait.RealTime {
		require.Error(t, first.why, "it says why not")
		w.End()
		t.Skip("this thread may not be real-time: ", first.why)
	}
	require.NoError(t, unix.Getrlimit(unix.RLIMIT_RTTIME, &during))
	require.LessOrEqual(t, during.Cur, uint64(200_000), "in microseconds")
	attr, err := unix.SchedGetAttr(0, 0)
	require.NoError(t, err)
	require.EqualValues(t, unix.SCHED_FIFO, attr.Policy)

	var wild told
	for begun := time.Now(); wild.why == nil && time.Since(begun) < 20*time.Second; {
		select {
		case wild = <-heard:
		default: // work without a pause
		}
	}
	require.Equal(t, rtwait.Ordinary, wild.priority)
	require.ErrorContains(t, wild.why, "without a pause")
	attr, err = unix.SchedGetAttr(0, 0)
	require.NoError(t, err)
	require.EqualValues(t, unix.SCHED_NORMAL, attr.Policy)

	w.End()
	require.NoError(t, unix.Getrlimit(unix.RLIMIT_RTTIME, &after))
	require.Equal(t, before, after, "the limit is as it was")
}

// TestEngineOnAThread: frames come, a command wakes the loop, and it ends.
func TestEngineOnAThread(t *testing.T) {
	l := &track.Layout{Universes: []track.Universe{{Base: make([]byte, 2)}}, Curves: []track.Curve{{}}, Slots: []track.Slot{{Wide: true}}}
	frames := make(frames, 1000)
	e := play.New(play.Config{Rate: 1, Output: frames, Waiter: rtwait.New(nil)})
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- e.Run(ctx) }()
	require.NoError(t, e.Load(l, track.Still{0.5}))
	for first := false; !first; {
		first = <-frames
	}
	for range 20 { // at a frame a second, only a wake can bring these in time
		begun := time.Now()
		_, err := e.Start(&track.Fade{From: track.Still{0.5}, To: track.Still{0.5}, Total: time.Hour}, play.StartOptions{})
		require.NoError(t, err)
		for first := false; !first; {
			first = <-frames
		}
		require.Less(t, time.Since(begun), 900*time.Millisecond)
	}
	cancel()
	require.NoError(t, <-ended)
	require.ErrorIs(t, e.Hold(), play.ErrStopped)
}

// frames is an Output that tells of each frame whether it is a first one.
type frames chan bool

func (f frames) SendFrame(addresses []uint16, _ [][]byte, first bool) error {
	f <- first && len(addresses) > 0
	return nil
}
