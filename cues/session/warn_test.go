package session_test

import (
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// staller is an Output that blocks once, for as long as it is told.
type staller struct {
	*recorder
	stall atomic.Int64
}

func (s *staller) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	time.Sleep(time.Duration(s.stall.Swap(0)))
	return s.recorder.SendFrame(addresses, slots, first)
}

func TestSkippedFramesAreAWarning(t *testing.T) {
	var out *staller
	play(t, func(s *set) {
		has := func() bool {
			for _, w := range s.State().Warnings {
				if w.Code == "frames-skipped" {
					require.NotEmpty(t, w.Mend)
					return true
				}
			}
			return false
		}
		s.pass(2 * time.Minute)
		out.stall.Store(int64(400 * time.Millisecond))
		s.pass(10 * time.Second)
		require.Positive(t, s.State().Output.SkippedMinute)
		require.False(t, has(), "a single stall of less than a hundredth of the minute")
		out.stall.Store(int64(2 * time.Second))
		s.pass(10 * time.Second)
		require.True(t, has())
		s.pass(time.Minute)
		require.False(t, has(), "it is over")
		require.Positive(t, s.State().Output.Skipped)
	}, func(c *session.Config) {
		out = &staller{recorder: c.Output.(*recorder)}
		c.Output = out
	})
}
