package compile_test

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

var update = flag.Bool("update", false, "write the bytes of moving looks anew: takes that were shot before look another way then")

// wave is a wave of level.
func wave(kind cues.MotionKind, period float64) *cues.Motion {
	return &cues.Motion{Kind: kind, Period: seconds(period), Between: cues.BetweenLevels}
}

// moves gives paint a movement.
func moves(p cues.Paint, m *cues.Motion) cues.Paint {
	p.Moves = m
	return p
}

// toAndFro is paint that goes from one colour to another.
func toAndFro(on string, a, b colour.Form, level float64, m cues.Motion) cues.Paint {
	m.Between = cues.BetweenColours
	return cues.Paint{On: on, Pattern: cues.Solid, Colours: []cues.Colour{{Form: a}, {Form: b}}, Level: share(level), Moves: &m}
}

func (r *rig) moving(p *compile.Place, k *cues.Look) (track.Still, *track.Motion) {
	s, m, problems := p.Moving(k)
	require.False(r.tb, problems.HasErrors(), problems)
	return s, m
}

// at gives the light of every cell so long after the movement began.
func at(p *compile.Place, s track.Still, m *track.Motion, elapsed time.Duration) []colour.XYZ {
	s = slices.Clone(s)
	m.At(elapsed, s)
	out := make([]colour.XYZ, len(p.Cells))
	p.Shine(s, out)
	return out
}

func TestWaveOfLevelKeepsItsColour(t *testing.T) {
	r := newRig(t)
	for range 4 {
		r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	}
	m := wave(cues.Sine, 4)
	m.Depth, m.Spread = 0.6, cues.MotionSpread{Cycles: 1, Set: true}
	k := r.look("water", moves(solid("edge", colour.HueSat{Hue: 186, Sat: 1}, 0.5), m))
	p := r.place()
	still, motion := r.moving(p, k)
	rest := at(p, still, motion, 0)[0]
	for i := range 400 {
		for c, light := range at(p, still, motion, time.Duration(i)*10*time.Millisecond) {
			// A cosine from 100 % to 40 %, each cell a quarter of a period behind the one before it.
			want := 1 - 0.6*(1-math.Cos(2*math.Pi*(float64(i)/400-float64(c)/4)))/2
			require.InDelta(t, want, light.Y/rest.Y, 1e-4)
			require.Less(t, light.XY().UV().Distance(rest.XY().UV()), 1e-5)
		}
	}
}

func TestWaveBetweenColoursIsTrue(t *testing.T) {
	r := newRig(t)
	r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	a, b := colour.HueSat{Hue: 186, Sat: 0.9}, colour.HueSat{Hue: 262, Sat: 0.9}
	k := r.look("water", toAndFro("edge", a, b, 0.4, cues.Motion{Kind: cues.Sine, Period: seconds(4)}))
	p := r.place()
	still, motion := r.moving(p, k)
	first, last := at(p, still, motion, 0)[0], at(p, still, motion, 2*time.Second)[0]
	for form, light := range map[colour.Form]colour.XYZ{a: first, b: last} {
		xy, err := form.Chromaticity(p.Balance)
		require.NoError(t, err)
		require.Less(t, light.XY().UV().Distance(xy.UV()), 1e-4)
	}
	require.Equal(t, still, r.still(p, k), "the look rests in its still")
	// On the way it is in no other colour than a fade from one to the other: straight in OKLab.
	for i := range 200 {
		light := at(p, still, motion, time.Duration(i)*10*time.Millisecond)[0]
		share := (1 - math.Cos(2*math.Pi*float64(i)/400)) / 2
		scale := p.Cells[0].MostLumens
		got, f, g := light.Scale(1/scale).OKLab(), first.Scale(1/scale).OKLab(), last.Scale(1/scale).OKLab()
		require.InDelta(t, f.L+share*(g.L-f.L), got.L, 0.003)
		require.InDelta(t, f.A+share*(g.A-f.A), got.A, 0.003)
		require.InDelta(t, f.B+share*(g.B-f.B), got.B, 0.003)
	}
}

func TestPatternsGoToTheOtherColour(t *testing.T) {
	r := newRig(t)
	for range 2 {
		r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	}
	paint := toAndFro("edge", colour.HueSat{Hue: 32, Sat: 0.9}, colour.HueSat{Hue: 262, Sat: 0.9}, 0.4, cues.Motion{Kind: cues.Sine, Period: seconds(4)})
	paint.Pattern = cues.Alternate
	p := r.place()
	still, motion := r.moving(p, r.look("swap", paint))
	now, then := at(p, still, motion, 0), at(p, still, motion, 2*time.Second)
	require.Less(t, now[0].XY().UV().Distance(then[1].XY().UV()), 1e-4)
	require.Less(t, now[1].XY().UV().Distance(then[0].XY().UV()), 1e-4)
}

// Later paint covers earlier paint; movement stays until other movement, none,
// or other colours than those that it goes between.
func TestMovementIsCovered(t *testing.T) {
	r := newRig(t)
	r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	amber, blue := colour.HueSat{Hue: 32, Sat: 0.9}, colour.HueSat{Hue: 240, Sat: 0.9}
	level := moves(solid("edge", amber, 0.5), wave(cues.Sine, 4))
	colours := toAndFro("edge", amber, blue, 0.5, cues.Motion{Kind: cues.Sine, Period: seconds(4)})
	p := r.place()
	for name, row := range map[string]struct {
		paint []cues.Paint
		moves bool
	}{
		"by nothing":            {[]cues.Paint{level}, true},
		"by level":              {[]cues.Paint{level, {On: "edge", Level: share(0.2)}}, true},
		"by a colour":           {[]cues.Paint{level, solid("edge", blue, 0.5)}, true},
		"colours by a colour":   {[]cues.Paint{colours, solid("edge", blue, 0.5)}, false},
		"by none":               {[]cues.Paint{level, {On: "edge", Moves: &cues.Motion{Kind: cues.NoMotion}}}, false},
		"laid over what rests":  {[]cues.Paint{solid("edge", blue, 0.5), {On: "edge", Moves: wave(cues.Ramp, 4)}}, true},
		"on what is dark":       {[]cues.Paint{solid("edge", blue, 0), {On: "edge", Moves: wave(cues.Ramp, 4)}}, false},
		"on nothing":            {[]cues.Paint{{On: "edge", Moves: wave(cues.Ramp, 4)}}, false},
		"to the very same mix":  {[]cues.Paint{toAndFro("edge", amber, amber, 0.5, cues.Motion{Kind: cues.Sine, Period: seconds(4)})}, false},
		"by other movement too": {[]cues.Paint{colours, {On: "edge", Moves: wave(cues.Sine, 2)}}, true},
	} {
		_, motion := r.moving(p, r.look(name, row.paint...))
		require.Equal(t, row.moves, motion != nil, name)
	}
}

// TestSameSeedSameBytes compares what is on the wire of every kind of movement,
// frame by frame, with the sums that are kept: it is the same in every take, and a
// build or a machine on which it is not shows here.
func TestSameSeedSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	const path = "testdata/moving.sha256"
	r := newRig(t)
	r.show.Safety.FlashingWarned = true
	r.show.Tempo = cues.Tempo{BPM: 96, BeatsPerBar: 4}
	for range 4 {
		r.lamp("tube-rgbww-4ft", "2-cell-16-bit", "edge")
		r.lamp("puck-rgbw", "8-bit", "edge")
	}
	motions := map[string]cues.Motion{
		"sine":      {Kind: cues.Sine, Period: cues.Duration{Amount: 4, Unit: cues.Beats}, Spread: cues.MotionSpread{Cycles: 1, Set: true}},
		"ramp":      {Kind: cues.Ramp, Period: seconds(3), Phase: 0.25, Depth: 0.7},
		"pulse":     {Kind: cues.Pulse, Period: seconds(2), Duty: 0.3, Spread: cues.MotionSpread{Time: seconds(1), Set: true}},
		"flame":     {Kind: cues.Flame, Seed: 3},
		"screen":    {Kind: cues.Screen, Seed: 3},
		"lightning": {Kind: cues.Lightning, Seed: 3},
		"passing":   {Kind: cues.Passing, Seed: 3},
	}
	var lines []string
	for name, m := range motions {
		for _, of := range []string{"levels", "colours"} {
			paint := toAndFro("edge", colour.HueSat{Hue: 186, Sat: 1}, colour.HueSat{Hue: 262, Sat: 0.9}, 0.4, m)
			paint.Moves.Between = cues.Between(of)
			if of == "levels" {
				paint.Colours = paint.Colours[:1]
			}
			sum := frames(t, r, paint)
			require.Equal(t, sum, frames(t, r, paint), "once more")
			if !paint.Moves.Kind.IsWave() {
				other := paint
				seeded := *paint.Moves
				seeded.Seed, other.Moves = 4, &seeded
				require.NotEqual(t, sum, frames(t, r, other), "another seed is another movement")
			}
			lines = append(lines, fmt.Sprintf("%s  %s of %s\n", sum, name, of))
		}
	}
	slices.Sort(lines)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "")), 0o644))
	}
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(kept), strings.Join(lines, ""))
}

// frames gives the sum of the bytes of a minute of a look.
func frames(t *testing.T, r *rig, paint cues.Paint) string {
	p := r.place()
	still, motion := r.moving(p, r.look("moving", paint))
	require.NotNil(t, motion)
	w := track.NewWriter(p.Layout)
	hash := sha256.New()
	for k := range 60 * 44 {
		m := slices.Clone(still)
		motion.Apply(time.Duration(k)*time.Second/44, nil, slices.Clone(still), m)
		w.Write(m, 1, 1)
		for _, bytes := range w.Frame() {
			hash.Write(bytes)
		}
	}
	return hex.EncodeToString(hash.Sum(nil))
}

func TestPeriodOutOfRange(t *testing.T) {
	r := newRig(t)
	r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	p := r.place()
	for _, m := range []*cues.Motion{
		wave(cues.Sine, 0.01), wave(cues.Sine, 3601), wave(cues.Flame, 61), {Kind: cues.Sine, Period: cues.Duration{Amount: 1, Unit: cues.Beats}},
	} {
		still, motion, problems := p.Moving(r.look("odd", moves(solid("edge", colour.HueSat{Hue: 32, Sat: 0.9}, 0.5), m)))
		require.Nil(t, still)
		require.Nil(t, motion)
		require.Len(t, problems, 1)
		require.Contains(t, []string{cues.CodeOutOfRange, cues.CodeNoTempo}, problems[0].Code)
	}
}

// A lamp that cannot show the colour at the far end says so, as it does of the
// one in which it rests.
func TestFarColourOutOfReach(t *testing.T) {
	r := newRig(t)
	r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	red := colour.HueSat{Hue: 0, Sat: 1}
	_, _, alone := r.place().Moving(r.look("red", solid("edge", red, 0.3)))
	require.Len(t, alone, 1)
	_, _, problems := r.place().Moving(r.look("red", toAndFro("edge", kelvin(4300), red, 0.3, cues.Motion{Kind: cues.Sine, Period: seconds(4)})))
	require.Len(t, problems, 1)
	require.Equal(t, cues.CodeColourOutOfReach, problems[0].Code)
	require.Equal(t, alone[0].What, problems[0].What)
}
