package track_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

// randomLayout draws a layout of slots of every kind in any order, with gaps,
// and floor cells, some of which cannot be lifted.
func randomLayout(r *rand.Rand) *track.Layout {
	l := &track.Layout{Curves: []track.Curve{{}, track.NewCurve(math.Sqrt), track.NewCurve(math.Cbrt)}}
	for u := range 1 + r.IntN(4) {
		base := make([]byte, 2*(1+r.IntN(40)))
		for i := range base {
			base[i] = byte(r.Uint32())
		}
		l.Universes = append(l.Universes, track.Universe{Address: uint16(u), Base: base})
		for at := 0; at < len(base); {
			s := track.Slot{Universe: int32(u), Offset: int32(at), Wide: r.IntN(2) == 0 && at+1 < len(base), Param: r.IntN(6) == 0, Curve: int32(r.IntN(3))}
			if n := len(l.Slots); n > 0 && r.IntN(3) > 0 { // as its neighbour
				s.Param, s.Curve = l.Slots[n-1].Param, l.Slots[n-1].Curve
			}
			l.Slots = append(l.Slots, s)
			at += 1 + r.IntN(2)
			if s.Wide {
				at++
			}
		}
	}
	r.Shuffle(len(l.Slots), func(i, j int) {
		if r.IntN(4) == 0 {
			l.Slots[i], l.Slots[j] = l.Slots[j], l.Slots[i]
		}
	})
	for i := 0; i+3 <= len(l.Slots); i += 3 + r.IntN(3) {
		if l.Slots[i].Param || l.Slots[i+1].Param || l.Slots[i+2].Param {
			continue
		}
		c := track.FloorCell{First: int32(i), N: 3, Least: r.Float32()}
		for k := range 3 {
			c.Weight[k] = r.Float32()
			c.Drive[k] = r.Float32() * float32(r.IntN(2))
		}
		l.Floor = append(l.Floor, c)
	}
	return l
}

// TestWriterIsTheSlowWay: whatever the layout, and whatever was written before,
// a Writer has the bytes that WriteFloor makes.
func TestWriterIsTheSlowWay(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	odd := []float32{float32(math.NaN()), float32(math.Inf(1)), -1, 2}
	for range 300 {
		l := randomLayout(r)
		require.NoError(t, l.Validate())
		w, want := track.NewWriter(l), l.NewFrame()
		require.Equal(t, want, w.Frame(), "before anything is written")
		s := l.NewStill()
		for range 30 {
			for i := range s { // some move, some stay
				switch r.IntN(4) {
				case 0:
					s[i] = r.Float32()
				case 1:
					s[i] = float32(r.IntN(2))
				}
			}
			if r.IntN(10) == 0 && len(s) > 0 {
				s[r.IntN(len(s))] = odd[r.IntN(len(odd))]
			}
			overall, floor := float32(1), float32(1)
			if r.IntN(2) == 0 {
				overall, floor = r.Float32(), r.Float32()*float32(r.IntN(2))
			}
			l.WriteFloor(s, overall, floor, want)
			w.Write(s, overall, floor)
			require.Equal(t, want, w.Frame(), "%v at %v, floor %v, of %+v", s, overall, floor, l)
		}
	}
}

func TestWriterDoesNotAllocate(t *testing.T) {
	l := universes(2, true, []track.Curve{{}, track.NewCurve(math.Sqrt)})
	w, s := track.NewWriter(l), l.NewStill()
	require.Zero(t, testing.AllocsPerRun(100, func() {
		s[3] += 0.001
		w.Write(s, 0.5, 1)
	}))
}
