package compile_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// randomMoving is paint on edge in random colours that moves at random.
func randomMoving(r *rand.Rand) cues.Paint {
	hue := func() colour.Form { return colour.HueSat{Hue: 360 * r.Float64(), Sat: r.Float64()} }
	kinds := append(cues.Waves(), cues.Noises()...)
	m := cues.Motion{Kind: cues.MotionKind(kinds[r.IntN(len(kinds))]), Period: seconds(0.5 + 4*r.Float64()), Depth: colour.Level(0.1 + 0.9*r.Float64()), Seed: r.Uint64()}
	if m.Kind.IsWave() {
		m.Phase, m.Spread = r.Float64(), cues.MotionSpread{Cycles: 4*r.Float64() - 2, Set: true}
	}
	p := toAndFro("edge", hue(), hue(), 0.05+0.95*r.Float64(), m)
	if r.IntN(2) == 0 {
		p.Moves.Between = cues.BetweenLevels
		p.Colours = p.Colours[:1]
	}
	return p
}

// TestMovingLightIsInReach: at any moment of any movement on any lamp there is no
// more light than the solver gives for its colour, and every drive is 0 to 1.
func TestMovingLightIsInReach(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	random := rand.New(rand.NewPCG(11, 12))
	for range 25 {
		r := newRig(t)
		r.show.Safety.FlashingWarned = true
		for kind, mode := range wideModes() {
			r.lamp(kind, mode, "edge")
		}
		p := r.place()
		still, motion := r.moving(p, r.look("odd", randomMoving(random)))
		require.NoError(t, motion.Validate(len(still)))
		if motion == nil {
			continue
		}
		for range 100 {
			elapsed := time.Duration(random.Int64N(int64(time.Hour)))
			s := slices.Clone(still)
			motion.At(elapsed, s)
			require.NoError(t, s.Validate(len(still)))
			light := make([]colour.XYZ, len(p.Cells))
			p.Shine(s, light)
			for i := range p.Cells {
				if light[i].Y < 0.001*p.Cells[i].MostLumens {
					continue
				}
				most := p.Cells[i].Mix().Solve(light[i].XY(), 1, p.Balance)
				require.LessOrEqual(t, light[i].Y, most.Most*1.005, "%s at %v", p.Cells[i].Lamp.Lamp.Type.Name, elapsed)
			}
		}
	}
}

// TestMovementFadesInReach: a fade between two looks that move, on any lamp and any
// way, keeps every drive within 0 to 1 without cutting it off, and the floor light.
func TestMovementFadesInReach(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	random := rand.New(rand.NewPCG(13, 14))
	paths := cues.PathNames()
	for range 25 {
		r := newRig(t)
		r.show.Safety.FlashingWarned = true
		r.show.Safety.Floor = cues.FloorLight{On: "edge", Level: 0.03, Colour: cues.Colour{Form: kelvin(3200)}}
		for kind, mode := range wideModes() {
			r.lamp(kind, mode, "edge")
		}
		p := r.place()
		from, out := r.moving(p, r.look("from", randomMoving(random)))
		to, in := r.moving(p, r.look("to", randomMoving(random)))
		timing := compileTiming(2*time.Second, cues.Path(paths[random.IntN(len(paths))]))
		f, err := p.Fade(from, to, timing)
		require.NoError(t, err)
		turn := &track.Passage{Fade: f, Out: out, In: in}
		got, frame := make(track.Still, len(from)), p.Layout.NewFrame()
		light := make([]colour.XYZ, len(p.Cells))
		for k := range 2 * 44 {
			turn.At(time.Duration(k)*time.Second/44, 0, got)
			for _, v := range got {
				require.True(t, v >= -1e-5 && v <= 1+1e-5, "%v", v)
			}
			p.Layout.Write(got, 1, true, frame)
			p.Light(frame, light)
			for i, c := range p.Layout.Floor {
				require.GreaterOrEqual(t, light[i].Y, float64(c.Least)*0.98, "floor light holds")
			}
		}
	}
}

func compileTiming(fade time.Duration, path cues.Path) compile.Timing {
	return compile.Timing{Fade: fade, Path: path}
}
