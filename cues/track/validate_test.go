package track_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

func TestLayoutValidate(t *testing.T) {
	nan := float32(math.NaN())
	for _, row := range []struct {
		name  string
		spoil func(*track.Layout)
		want  string
	}{
		{"address too high", func(l *track.Layout) { l.Universes[0].Address = 0x8000 }, "universe 0: port-address 32768 is over 32767"},
		{"addresses do not ascend", func(l *track.Layout) { l.Universes = append(l.Universes, l.Universes[0]) }, "universe 1: port-address 0 follows 0: addresses must ascend"},
		{"odd universe", func(l *track.Layout) { l.Universes[0].Base = make([]byte, 7) }, "universe 0: 7 slots: want an even number within 2..512"},
		{"empty universe", func(l *track.Layout) { l.Universes[0].Base = nil }, "universe 0: 0 slots"},
		{"long universe", func(l *track.Layout) { l.Universes[0].Base = make([]byte, 514) }, "universe 0: 514 slots"},
		{"short table", func(l *track.Layout) { l.Curves[0].Table = []float32{1} }, "curve 0: a table of 1"},
		{"table out of range", func(l *track.Layout) { l.Curves[0].Table = []float32{0, 1.5} }, "curve 0: table entry 1 is 1.5"},
		{"slot in no universe", func(l *track.Layout) { l.Slots[1].Universe = 1 }, "slot 1: universe 1 of 1"},
		{"slot in a negative universe", func(l *track.Layout) { l.Slots[1].Universe = -1 }, "slot 1: universe -1 of 1"},
		{"slot without a curve", func(l *track.Layout) { l.Slots[1].Curve = 1 }, "slot 1: curve 1 of 1"},
		{"slot past the end", func(l *track.Layout) { l.Slots[1].Offset = 6 }, "slot 1: offset 6..7 in a universe of 6"},
		{"fine byte past the end", func(l *track.Layout) { l.Slots[1].Offset = 5 }, "slot 1: offset 5..6 in a universe of 6"},
		{"slot before the start", func(l *track.Layout) { l.Slots[1].Offset = -1 }, "slot 1: offset -1..0"},
		{"fine byte on another slot", func(l *track.Layout) { l.Slots[2].Offset = 3 }, "slot 2: offset 3 of universe 0 is controlled twice"},
		{"safe value", func(l *track.Layout) { l.Slots[0].Safe = nan }, "slot 0: safe value NaN"},
		{"floor past the end", func(l *track.Layout) { l.Floor[0].First = 1 }, "floor cell 0: slots 1+3 of 3"},
		{"floor of nothing", func(l *track.Layout) { l.Floor[0].N = 0 }, "floor cell 0: slots 0+0 of 3"},
		{"floor of nine", func(l *track.Layout) { l.Floor[0].N = 9 }, "floor cell 0: slots 0+9 of 3"},
		{"floor light", func(l *track.Layout) { l.Floor[0].Least = -1 }, "floor cell 0: least light -1"},
		{"floor weight", func(l *track.Layout) { l.Floor[0].Weight[2] = nan }, "floor cell 0: weight 2 is NaN"},
		{"floor drive", func(l *track.Layout) { l.Floor[0].Drive[1] = 2 }, "floor cell 0: drive 1 is 2"},
		{"floor on a parameter", func(l *track.Layout) { l.Slots[2].Param = true }, "floor cell 0: slot 2 is a parameter"},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := cell()
			require.NoError(t, l.Validate())
			row.spoil(l)
			require.ErrorContains(t, l.Validate(), row.want)
		})
	}
	require.NoError(t, (&track.Layout{}).Validate(), "a location without lamps")
}

func TestFadeValidate(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func(*track.Fade)
		want  string
	}{
		{"from another layout", func(f *track.Fade) { f.From = f.From[:3] }, "fade from 3 to 4 values on a layout of 4 slots"},
		{"negative time", func(f *track.Fade) { f.Total = -1 }, "fade takes -1ns"},
		{"value out of range", func(f *track.Fade) { f.To[3] = 1.01 }, "to slot 3 is 1.01"},
		{"knot out of range", func(f *track.Fade) { f.Values[5] = -0.5 }, "knot value 5 is -0.5"},
		{"move past the end", func(f *track.Fade) { f.Moves[1].First = 3 }, "move 1: slots 3+2 of 4"},
		{"move far past the end", func(f *track.Fade) { f.Moves[1].First, f.Moves[1].N = math.MaxInt32, math.MaxInt32 }, "move 1: slots"},
		{"move of nothing", func(f *track.Fade) { f.Moves[1].N = 0 }, "move 1: slots 2+0 of 4"},
		{"late move", func(f *track.Fade) { f.Moves[1].Start = 0.6 }, "move 1: start 0.6, length 0.5"},
		{"no length", func(f *track.Fade) { f.Moves[1].Length = float32(math.NaN()) }, "move 1: start 0.5, length NaN"},
		{"unknown ease", func(f *track.Fade) { f.Moves[1].Curve = 4 }, "move 1: unknown ease 4"},
		{"knots past the end", func(f *track.Fade) { f.Moves[0].TimeAt = 2 }, "move 0: knot times 2+3 of 4"},
		{"knot values past the end", func(f *track.Fade) { f.Moves[0].ValueAt = 2 }, "move 0: knot values 2+6 of 7"},
		{"knots in disorder", func(f *track.Fade) { f.Times[1] = 0.9 }, "move 0: knot 2 is at 0.5 after 0.9"},
		{"slot in two moves", func(f *track.Fade) { f.Moves[1].First = 1 }, "move 1: slot 1 is in another move too"},
	} {
		t.Run(row.name, func(t *testing.T) {
			f := &track.Fade{
				From: track.Still{0, 0, 0, 0}, To: track.Still{1, 1, 1, 1}, Total: 1,
				Moves: []track.Move{{First: 0, N: 2, Length: 1, Knots: 3}, {First: 2, N: 2, Start: 0.5, Length: 0.5}},
				Times: []float32{0, 0.2, 0.5, 1}, Values: []float32{0, 0, 0.5, 0.5, 1, 1, 1},
			}
			require.NoError(t, f.Validate(4))
			row.spoil(f)
			require.ErrorContains(t, f.Validate(4), row.want)
		})
	}
	require.ErrorContains(t, track.Still{0, 1}.Validate(3), "a state of 2 values on a layout of 3 slots")
	require.ErrorContains(t, track.Still{0, float32(math.NaN())}.Validate(2), "slot 1 is NaN")
	require.NoError(t, track.Still{0, 1}.Validate(2))
}

// TestValidFadesPlay: whatever Validate lets through renders without a panic.
func TestValidFadesPlay(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	played := 0
	for range 3000 {
		n := 1 + r.IntN(12)
		f := randomFade(r, n)
		if len(f.Moves) > 0 { // spoil one number
			m := &f.Moves[r.IntN(len(f.Moves))]
			field := []*int32{&m.First, &m.N, &m.Knots, &m.TimeAt, &m.ValueAt}[r.IntN(5)]
			*field += int32(r.IntN(7) - 3)
		}
		if f.Validate(n) != nil {
			continue
		}
		played++
		dst := make(track.Still, n)
		for p := range 21 {
			f.At(float64(p)/20, dst)
			require.NoError(t, dst.Validate(n))
			f.AtFrom(float64(p)/20, f.To, dst)
			require.NoError(t, dst.Validate(n))
		}
	}
	require.Greater(t, played, 300)
}
