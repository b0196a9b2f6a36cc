package session_test

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/session"
)

// flatLight is light of which every lumen gives as many lux everywhere.
type flatLight float64

func (l flatLight) PerLumen(_ *cues.Mark, cells []int, _, _, dst []float64) {
	for k := range cells {
		dst[k] = float64(l)
	}
}

// lamplighter is a Lighter whose stages a test hands out.
type lamplighter struct {
	kept   session.Lighting // at hand when its Stage is set
	asked  []string         // locations, each time
	ended  atomic.Int32     // askings whose context has ended
	stages chan session.Lighting
}

func (l *lamplighter) Kept(*compile.Place) (session.Lighting, bool) {
	return l.kept, l.kept.Stage != ""
}

func (l *lamplighter) Light(ctx context.Context, place *compile.Place) <-chan session.Lighting {
	l.asked = append(l.asked, place.Location.Name)
	out := make(chan session.Lighting)
	go func() {
		defer close(out)
		for {
			select {
			case <-ctx.Done():
				l.ended.Add(1)
				return
			case s, open := <-l.stages:
				if !open {
					return
				}
				select {
				case out <- s:
				case <-ctx.Done():
				}
			}
		}
	}()
	return out
}

// bright is finished light at a hundredth of a lux for a lumen.
var bright = session.Lighting{Stage: "bounced", Hash: "abc", Encoded: []byte("map"), Metered: flatLight(0.01)}

// inLight plays a test on a show in which the look "tide" asks for 2 lx of the key at a.
func inLight(t *testing.T, kept session.Lighting, body func(*set, *lamplighter), change ...func(*session.Config)) {
	l := &lamplighter{kept: kept}
	play(t, func(s *set) { body(s, l) }, append(change, func(cfg *session.Config) {
		tide := cfg.Show.Look(nil, "tide")
		tide.Paint = append(tide.Paint, cues.Paint{On: "key", Level: cues.Level{Kind: cues.Lux, Value: 2, Mark: "a"}})
		l.stages = make(chan session.Lighting) // of the bubble
		cfg.Lighter = l
	})...)
}

// keyLumens is what the key gives on the wire.
func (s *set) keyLumens() float64 { return s.Cells(nil)[0].Y }

func (s *set) warned(code string) bool {
	for _, w := range s.State().Warnings {
		if w.Code == code {
			return true
		}
	}
	return false
}

func TestStateTellsOfTheLight(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		require.Equal(t, []string{"deep-end"}, l.asked)
		require.Equal(t, &session.Light{Stage: "computing"}, s.State().Light)
		require.Nil(t, s.Session.Light().Encoded)
		l.stages <- session.Lighting{Stage: "coarse", Hash: "abc-coarse", Encoded: []byte("dim")}
		s.tick()
		require.Equal(t, &session.Light{Stage: "coarse", Hash: "abc-coarse"}, s.State().Light)
		before := s.State().Revision
		l.stages <- bright
		s.tick()
		require.Equal(t, &session.Light{Stage: "bounced", Hash: "abc"}, s.State().Light)
		require.NotEqual(t, before, s.State().Revision, "the looks are to be drawn anew")
		require.Equal(t, "abc", s.Session.Light().Hash)
		require.Equal(t, "map", string(s.Session.Light().Encoded))
	})
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		close(l.stages)
		s.tick()
		require.Equal(t, &session.Light{Stage: "none"}, s.State().Light)
		require.False(t, s.warned("light-failed"))
	})
	play(t, func(s *set) { require.Nil(t, s.State().Light, "nobody computes it") })
}

// What is on when the light comes stays until somebody changes it; what stands by is made
// ready anew.
func TestLightChangesWhatStandsByAndNotTheSet(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		require.NoError(t, s.Cue(look("tide")))
		s.tick()
		require.True(t, s.warned(cues.CodeNeedsPhotometry))
		on, frames := s.keyLumens(), s.out.last().bytes
		require.Greater(t, math.Abs(on-200), 10.0)
		l.stages <- bright
		s.pass(time.Second)
		require.Equal(t, frames, s.out.last().bytes, "the set stays as it is")
		require.False(t, s.warned(cues.CodeNeedsPhotometry))
		require.True(t, s.warned("look-outdated"))

		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.005, "2 lx at 0.01 lx for a lumen")
		require.False(t, s.warned("look-outdated"))
	})
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		require.Equal(t, "tide", s.State().Standby.Look)
		l.stages <- bright
		s.tick()
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(5 * time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.005)
	})
}

// A show that stopped in a look that measures comes back in it, if its light is kept.
func TestKeptLightIsThereFromTheFirstFrame(t *testing.T) {
	inLight(t, bright, func(s *set, l *lamplighter) {
		require.Empty(t, l.asked)
		require.Equal(t, "bounced", s.State().Light.Stage)
		require.NoError(t, s.Cue(look("tide")))
		s.tick()
		require.InEpsilon(t, 200, s.keyLumens(), 0.005)
	})
}

func TestLightIsAskedAnewAtAnotherPlace(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		require.NoError(t, s.Location("diving-stage"))
		s.tick()
		require.Equal(t, []string{"deep-end", "diving-stage"}, l.asked)
		require.EqualValues(t, 1, l.ended.Load())
		require.Equal(t, "computing", s.State().Light.Stage)
	})
}

func TestLightThatFails(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		l.stages <- session.Lighting{Err: errors.New("no memory")}
		s.tick()
		require.Equal(t, &session.Light{Stage: "failed"}, s.State().Light)
		require.True(t, s.warned("light-failed"))
		s.shows("warden")
	})
}
