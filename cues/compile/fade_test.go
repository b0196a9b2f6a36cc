package compile_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

func TestSnapHasNoWay(t *testing.T) {
	p, from, to, _ := benchPlace(t, 32, false)
	f, err := p.Fade(from, to, compile.Timing{})
	require.NoError(t, err)
	require.Zero(t, f.Total)
	require.Empty(t, f.Moves)
	checkEnds(t, f, from, to)
}

// With a delay of 1 s, a spread of 2 s and a fade of 1 s nothing moves in the
// first quarter; the cells of the group start one after another over the next
// half, and the last arrives at the end.
func TestDelayAndSpread(t *testing.T) {
	r := newRig(t)
	for range 3 {
		r.lamp("panel-rgbww", "16-bit", "row")
	}
	r.lamp("panel-rgbww", "16-bit", "rest")
	from, to := r.look("from", solid("row", amber, 0.2), solid("rest", amber, 0.2)), r.look("to", solid("row", aqua, 0.8), solid("rest", aqua, 0.8))
	p := r.place()
	f, err := p.Fade(r.still(p, from), r.still(p, to), compile.Timing{Delay: time.Second, Spread: 2 * time.Second, Fade: time.Second, Along: "row"})
	require.NoError(t, err)
	require.Equal(t, 4*time.Second, f.Total)
	for i, want := range []struct{ start, end float64 }{{1, 2}, {2, 3}, {3, 4}, {1, 2}} {
		moves := func(seconds float64) (begun, arrived bool) {
			s := p.Layout.NewStill()
			f.At(seconds/4, s)
			c := p.Cells[i]
			begun, arrived = false, true
			for k := c.First; k < c.First+c.N; k++ {
				begun = begun || s[k] != f.From[k]
				arrived = arrived && s[k] == f.To[k]
			}
			return begun, arrived
		}
		begun, _ := moves(want.start - 0.001)
		require.False(t, begun, "cell %d before its start", i)
		begun, _ = moves(want.start + 0.01)
		require.True(t, begun, "cell %d after its start", i)
		_, arrived := moves(want.end - 0.01)
		require.False(t, arrived, "cell %d before its end", i)
		_, arrived = moves(want.end + 0.001)
		require.True(t, arrived, "cell %d after its end", i)
	}
}

// A spread without a fade is a chase of snaps.
func TestSpreadOfSnaps(t *testing.T) {
	r := newRig(t)
	for range 2 {
		r.lamp("panel-rgbww", "16-bit", "row")
	}
	from, to := r.look("from", solid("row", amber, 0.2)), r.look("to", solid("row", aqua, 0.8))
	p := r.place()
	f, err := p.Fade(r.still(p, from), r.still(p, to), compile.Timing{Spread: time.Second, Along: "row"})
	require.NoError(t, err)
	s := p.Layout.NewStill()
	f.At(0.5, s)
	a, b := p.Cells[0], p.Cells[1]
	require.Equal(t, f.To[a.First:a.First+a.N], s[a.First:a.First+a.N])
	require.Equal(t, f.From[b.First:b.First+b.N], s[b.First:b.First+b.N])
}

// A parameter that fades goes the way of its lamp; one that cannot takes its
// new value when the fade starts.
func TestParametersMove(t *testing.T) {
	r := newRig(t)
	l := r.lamp("tube-rgbww-4ft", "1-cell", "all")
	from := r.look("from", solid("all", amber, 0.5))
	to := r.look("to", solid("all", amber, 0.5), cues.Paint{On: "all", Set: []cues.Setting{{Param: "dimmer", Value: 50}, {Param: "strobe", Value: 25}}})
	p := r.place()
	a, b := r.still(p, from), r.still(p, to)
	slotOf := func(name string) int {
		for _, ch := range l.Lamp.Mode.Channels {
			if ch.Param == nil || ch.Param.Name != name {
				continue
			}
			for i, s := range p.Layout.Slots {
				if s.Param && int(s.Offset) == ch.Offset {
					return i
				}
			}
		}
		t.Fatal(name)
		return 0
	}
	dimmer, strobe := slotOf("dimmer"), slotOf("strobe")
	for _, delay := range []time.Duration{0, time.Second} {
		f, err := p.Fade(a, b, compile.Timing{Delay: delay, Fade: time.Second})
		require.NoError(t, err)
		s := p.Layout.NewStill()
		if delay > 0 {
			f.At(0.49, s)
			require.EqualValues(t, 0, s[strobe])
			require.EqualValues(t, 1, s[dimmer])
		}
		f.At((delay+time.Second/2).Seconds()/f.Total.Seconds(), s)
		require.EqualValues(t, 1, s[strobe])
		require.InDelta(t, 0.75, s[dimmer], 1e-6)
	}
}

func TestFadeRefusesWhatCannotBe(t *testing.T) {
	p, from, to, _ := benchPlace(t, 16, false)
	for name, timing := range map[string]compile.Timing{
		"negative fade":  {Fade: -time.Second},
		"negative delay": {Delay: -1},
		"too long":       {Fade: 25 * time.Hour},
		"unknown group":  {Spread: time.Second, Along: "al"},
		"unknown curve":  {Fade: time.Second, Curve: "sofd"},
		"unknown path":   {Fade: time.Second, Path: "shorts"},
	} {
		_, err := p.Fade(from, to, timing)
		var problem *cues.Problem
		require.ErrorAs(t, err, &problem, name)
		require.NotEmpty(t, problem.Mend, name)
	}
	_, err := p.Fade(from[1:], to, compile.Timing{})
	require.Error(t, err)
}

// The same question has the same answer, bit for bit, whatever cores do.
func TestFadeIsDeterministic(t *testing.T) {
	p, from, to, _ := benchPlace(t, 64, true)
	first, err := p.Fade(from, to, compile.Timing{Fade: time.Second})
	require.NoError(t, err)
	for range 5 {
		again, err := p.Fade(from, to, compile.Timing{Fade: time.Second})
		require.NoError(t, err)
		require.Equal(t, first, again)
	}
}

// Cells alike share their knots: two colours on 64 cells are two ways.
func TestAlikeCellsAreSolvedOnce(t *testing.T) {
	p, from, to, _ := benchPlace(t, 64, false)
	f, err := p.Fade(from, to, compile.Timing{Fade: time.Second})
	require.NoError(t, err)
	ways := map[int32]bool{}
	for _, m := range f.Moves {
		ways[m.TimeAt] = true
	}
	require.Len(t, f.Moves, 64)
	require.Len(t, ways, 2)
}

// A fade out of the middle of another begins with exactly what is on and ends
// with exactly what is wanted.
func TestFadeFromTheMiddleOfAnother(t *testing.T) {
	p, from, to, _ := benchPlace(t, 32, true)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second})
	require.NoError(t, err)
	middle := p.Layout.NewStill()
	f.At(0.37, middle)
	back, err := p.Fade(middle, from, compile.Timing{Fade: time.Second, Curve: cues.CurveSoft})
	require.NoError(t, err)
	checkEnds(t, back, middle, from)
	for _, m := range back.Moves {
		require.Equal(t, track.Soft, m.Curve)
	}
	// On the way back it passes where it came by: the same line in OKLab.
	s, same := p.Layout.NewStill(), p.Layout.NewStill()
	back, err = p.Fade(middle, from, compile.Timing{Fade: time.Second})
	require.NoError(t, err)
	back.At(0.5, s)
	f.At(0.37/2, same)
	a, b := wire(p, s), wire(p, same)
	for i := range a {
		most := p.Cells[i].MostLumens
		require.Less(t, apart(labOf(a[i], most), labOf(b[i], most)), 0.006, "cell %d", i)
	}
}

func TestTimingOfACue(t *testing.T) {
	p, _, _, _ := benchPlace(t, 16, false) // timeline 24, capture 48: half speed on screen
	got, err := p.Timing(&cues.Cue{
		Fade: cues.Duration{Amount: 4, Unit: cues.Seconds, OnScreen: true}, Delay: cues.Duration{Amount: 12, Unit: cues.Frames},
		Curve: cues.CurveSoft, Path: cues.PathWhite,
		Spread: &cues.Spread{Over: cues.Duration{Amount: 1200, Unit: cues.Milliseconds}, Along: "all"},
	})
	require.NoError(t, err)
	require.Equal(t, compile.Timing{
		Fade: 2 * time.Second, Delay: 250 * time.Millisecond, Spread: 1200 * time.Millisecond, Along: "all",
		Curve: cues.CurveSoft, Path: cues.PathWhite,
	}, got)
	_, err = p.Timing(&cues.Cue{Fade: cues.Duration{Amount: 2, Unit: cues.Bars}})
	require.Error(t, err)
}
