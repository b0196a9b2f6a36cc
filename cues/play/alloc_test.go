package play_test

import (
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
)

// TestLoopDoesNotAllocate: a frame with the publishing of its snapshot, and
// every command on both sides of the queue. Load is for the loop alone, as its
// caller makes the room that the loop needs.
func TestLoopDoesNotAllocate(t *testing.T) {
	const n = 40
	f, g := straight(n, 0, 1, time.Hour), straight(n, 0.5, 0.25, time.Hour)
	moves, others := dimming(n, 1, 0.5, time.Second), dimming(n, 0.25, 0.5, 3*time.Second)
	var s play.Snapshot
	var other play.Output = &discard{}
	for _, row := range []struct {
		name string
		ask  func(e *play.Engine) error
	}{
		{"a frame of a fade", func(*play.Engine) error { return nil }},
		{"start", func(e *play.Engine) error { _, err := e.Start(f, play.StartOptions{}); return err }},
		{"start from elsewhere", func(e *play.Engine) error { _, err := e.Start(g, play.StartOptions{Dark: true}); return err }},
		{"start of what does not fit", func(e *play.Engine) error { _, err := e.Start(straightOther, play.StartOptions{}); return err }},
		{"start of what moves", func(e *play.Engine) error { _, err := e.Start(f, play.StartOptions{Motion: moves}); return err }},
		{"start of what moves in turn", func(e *play.Engine) error {
			_, err := e.Start(g, play.StartOptions{Motion: others, At: 0.5})
			return errors.Join(err, e.Snap())
		}},
		{"hold", (*play.Engine).Hold},
		{"resume", (*play.Engine).Resume},
		{"ride", func(e *play.Engine) error { return e.Ride(0.3) }},
		{"snap", func(e *play.Engine) error {
			if _, err := e.Start(f, play.StartOptions{}); err != nil {
				return err
			}
			return e.Snap()
		}},
		{"overall", func(e *play.Engine) error { return e.Overall(0.7) }},
		{"kill", func(e *play.Engine) error { return e.Kill(true) }},
		{"kill ends", func(e *play.Engine) error { return e.Kill(false) }},
		{"dry", func(e *play.Engine) error { return e.Dry(true) }},
		{"dry ends", func(e *play.Engine) error { return e.Dry(false) }},
		{"set output", func(e *play.Engine) error { return e.SetOutput(other) }},
		{"read a snapshot", func(e *play.Engine) error { e.Snapshot(&s); return nil }},
	} {
		t.Run(row.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				e := play.New(play.Config{Output: discard{}})
				e.Begin(time.Now())
				require.NoError(t, e.Load(flat(n), all(n, 0)))
				start(t, e, f, play.StartOptions{Motion: moves})
				e.Snapshot(&s)
				at := time.Now()
				require.Zero(t, testing.AllocsPerRun(100, func() {
					if err := row.ask(e); err != nil {
						t.Error(err)
					}
					at = at.Add(23 * time.Millisecond)
					e.Turn(at)
				}))
				e.Snapshot(&s)
				require.GreaterOrEqual(t, s.Frame, uint64(90), "frames were rendered")
			})
		})
	}
}

// straightOther is a fade for a layout of another size.
var straightOther = straight(3, 0, 1, time.Second)

// TestLoadAllocatesForTheLoop: taking a location costs the loop nothing.
func TestLoadAllocatesForTheLoop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		e := play.New(play.Config{Output: discard{}})
		at := time.Now()
		e.Begin(at)
		small, large := flat(2), flat(200)
		const runs = 10
		for i := range runs + 1 { // one more for the run that warms up
			l := small
			if i%2 == 0 {
				l = large
			}
			if i%3 == 0 {
				require.NoError(t, e.Replace(l, make([]float32, len(l.Slots)), nil, time.Second))
				continue
			}
			require.NoError(t, e.Load(l, make([]float32, len(l.Slots))))
		}
		taken := 0
		require.Zero(t, testing.AllocsPerRun(runs, func() {
			at = at.Add(23 * time.Millisecond)
			e.Turn(at)
			taken++
		}))
		require.Equal(t, runs+1, taken)
	})
}

// discard is an Output that takes everything and does nothing.
type discard struct{}

func (discard) SendFrame([]uint16, [][]byte, bool) error { return nil }
