package session_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

// movingShow adds a look whose edge moves, and one that flashes, to the show.
func movingShow(cfg *session.Config) {
	paint := func(period float64, kind cues.MotionKind) []cues.Paint {
		return []cues.Paint{{On: "edge", Pattern: cues.Solid, Colours: []cues.Colour{{Form: colour.HueSat{Hue: 186, Sat: 0.9}}},
			Level: cues.Level{Kind: cues.Share, Value: 0.5},
			Moves: &cues.Motion{Kind: kind, Period: cues.Duration{Amount: period, Unit: cues.Seconds}, Between: cues.BetweenLevels, Depth: 0.6}}}
	}
	cfg.Show.Looks = append(cfg.Show.Looks,
		&cues.Look{Name: "water", Paint: paint(2, cues.Sine)},
		&cues.Look{Name: "beating", Paint: paint(0.34, cues.Pulse)},
		&cues.Look{Name: "strobing", Paint: paint(0.2, cues.Pulse)})
}

// edge is the light of the first edge cell on the wire, lumens.
func (s *set) edge() float64 { return s.Cells(nil)[1].Y }

// swings gives the least and most light of the edge over some time.
func (s *set) swings(d time.Duration) (low, high float64) {
	low = s.edge()
	high = low
	for range int(d / (50 * time.Millisecond)) {
		s.pass(50 * time.Millisecond)
		low, high = min(low, s.edge()), max(high, s.edge())
	}
	return low, high
}

func fading(r session.CueRequest, fade string) session.CueRequest {
	r.Fade = fade
	return r
}

func TestLookThatMoves(t *testing.T) {
	play(t, func(s *set) {
		require.False(t, s.State().Moving)
		require.NoError(t, s.Cue(fading(look("water"), "1 s")))
		require.True(t, s.State().Moving)
		s.pass(1100 * time.Millisecond)
		low, high := s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)
		cells, err := s.LookCells("water")
		require.NoError(t, err)
		require.InEpsilon(t, cells[1].Y, high, 0.01, "a look is shown as it is painted")

		require.NoError(t, s.Hold())
		require.True(t, s.State().Held)
		low, high = s.swings(3 * time.Second)
		require.Equal(t, low, high, "hold stops the water")
		require.NoError(t, s.Resume())
		require.False(t, s.State().Held)
		refused(t, s.Resume(), session.Conflict, "not-held")
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)

		require.NoError(t, s.WorkLight(nil))
		s.pass(time.Second)
		require.False(t, s.State().Moving)
		refused(t, s.Hold(), session.Conflict, "nothing-runs")
		low, high = s.swings(time.Second)
		require.Equal(t, low, high, "work light stands still")
		require.NoError(t, s.WorkLight(nil))
		s.pass(1100 * time.Millisecond)
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01, "and the water is back after it")

		require.NoError(t, s.Kill(true))
		s.pass(100 * time.Millisecond)
		require.Zero(t, s.edge())
		require.False(t, s.State().Moving)
		require.NoError(t, s.Kill(false))
		s.pass(1100 * time.Millisecond)
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)

		require.NoError(t, s.Dry(true))
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01, "a dry run shows it too")
		require.NoError(t, s.Dry(false))

		require.NoError(t, s.Cue(fading(look("warden"), "1 s")))
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
		require.False(t, s.State().Moving)
		require.NoError(t, s.Back())
		s.pass(1100 * time.Millisecond)
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01, "back goes back to what moves")
	}, movingShow)
}

// The first look of a place may move, and takes of one cue are the same bytes.
func TestEveryTakeHasTheSameBytes(t *testing.T) {
	play(t, func(s *set) {
		var takes [2][][][]byte
		for i := range takes {
			require.NoError(t, s.Cue(fading(look("warden"), "0 s")))
			s.pass(time.Duration(i*777+300) * time.Millisecond)
			first := s.out.count()
			require.NoError(t, s.Cue(fading(look("water"), "1 s")))
			s.pass(4 * time.Second)
			for _, f := range s.out.from(first)[:170] {
				takes[i] = append(takes[i], f.bytes)
			}
		}
		require.Equal(t, takes[0], takes[1])
	}, movingShow)
}

func TestOpensInALookThatMoves(t *testing.T) {
	play(t, func(s *set) {
		require.Equal(t, "water", s.State().Look)
		low, high := s.swings(3 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)
		require.NoError(t, s.Location("diving-stage"))
		s.pass(time.Second)
		require.False(t, s.State().Moving)
		require.NoError(t, s.Location("deep-end"))
		s.pass(time.Second)
		require.True(t, s.State().Moving)
	}, movingShow, func(cfg *session.Config) { cfg.Show.Locations[0].Cues[0].Look = "water" })
}

// A look that flashes is refused with its reason, unless people are warned; then it
// is told all the time.
func TestLookThatFlashes(t *testing.T) {
	play(t, func(s *set) {
		r := refused(t, s.Cue(look("strobing")), session.Conflict, cues.CodeFlashing)
		require.Contains(t, r.Message, "flashes 5.0 times in a second on set")
		require.Contains(t, r.Mend, "flashing: warned")
		s.shows("warden")
	}, movingShow)
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("strobing")))
		require.True(t, slices.ContainsFunc(s.State().Warnings, func(w session.Warning) bool { return w.Code == cues.CodeFlashing }))
		low, high := s.swings(time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)
	}, movingShow, func(cfg *session.Config) { cfg.Show.Safety.FlashingWarned = true })
}

// The picture of the floor never goes under the floor light.
func TestFloorLightHoldsUnderALookThatMoves(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(fading(look("pool"), "1 s")))
		s.pass(100 * time.Millisecond)
		least := s.Cells(nil)[5].Y
		for range 100 {
			s.pass(50 * time.Millisecond)
			least = min(least, s.Cells(nil)[5].Y)
		}
		p := s.place()
		require.InEpsilon(t, float64(p.Layout.Floor[0].Least), least, 0.01)
	}, func(cfg *session.Config) {
		cfg.Show.Looks = append(cfg.Show.Looks, &cues.Look{Name: "pool", Paint: []cues.Paint{{On: "floor", Pattern: cues.Solid,
			Colours: []cues.Colour{{Form: colour.HueSat{Hue: 186, Sat: 0.9}}}, Level: cues.Level{Kind: cues.Share, Value: 0.5},
			Moves: &cues.Motion{Kind: cues.Sine, Period: cues.Duration{Amount: 2, Unit: cues.Seconds}, Between: cues.BetweenLevels}}}})
	})
}

// Movement that keeps to the limit and flips that do may break it together.
func TestFlipsOfALookThatMovesCountTogether(t *testing.T) {
	for name, row := range map[string]struct {
		look  string
		warns bool
	}{"beside movement of 2.94 a second": {"beating", true}, "beside water": {"water", false}} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				warned := func() bool {
					return slices.ContainsFunc(s.State().Warnings, func(w session.Warning) bool { return w.Code == cues.CodeFlashing })
				}
				require.NoError(t, s.Cue(fading(look(row.look), "1 s")))
				s.pass(1500 * time.Millisecond)
				require.False(t, warned())
				for range 2 {
					require.NoError(t, s.Cue(fading(look("night"), "0 s")))
					s.pass(50 * time.Millisecond)
					require.NoError(t, s.Cue(fading(look(row.look), "0 s")))
					s.pass(50 * time.Millisecond)
				}
				require.Equal(t, row.warns, warned())
			}, movingShow)
		})
	}
}
