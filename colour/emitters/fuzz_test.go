package emitters_test

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// FuzzSolve takes emitters as 6 bytes each: chromaticity in 1/256, lumens as a power
// of two, and low bits that bring emitters very near to each other.
func FuzzSolve(f *testing.F) {
	for _, s := range realistic(f) {
		var raw []byte
		for _, e := range s.emitters {
			p := e.Full.XY()
			raw = append(raw, byte(256*p.X), byte(256*p.Y), byte(16*math.Log2(e.Full.Y)), 0, 0, 0)
		}
		f.Add(raw, 0.3127, 0.3290, 1.0)
		f.Add(raw, 0.17, 0.797, 0.5)
	}
	f.Add([]byte{80, 80, 99, 0, 0, 0, 80, 80, 99, 1, 0, 0, 80, 80, 99, 0, 1, 0}, 0.3125, 0.3125, 1.0) // all but identical
	f.Add([]byte{64, 64, 99, 0, 0, 0, 96, 96, 99, 0, 0, 0, 80, 80, 99, 0, 0, 1}, 0.3125, 0.3125, 1.0) // all but on a line

	f.Fuzz(func(t *testing.T, raw []byte, x, y, level float64) {
		es := decodeEmitters(raw)
		c, err := emitters.NewCell(es)
		if err != nil {
			require.True(t, len(es) < 1 || len(es) > emitters.Max, "%v", err)
			return
		}
		asked := colour.XY{X: x, Y: y}
		got := c.Solve(asked, colour.Level(level), white)
		requireSound(t, c, got, level)
		if got.Most > 0 {
			requireOptimal(t, es, c, got.Reached)
		}
	})
}

func decodeEmitters(raw []byte) []emitters.Emitter {
	var es []emitters.Emitter
	for ; len(raw) >= 6; raw = raw[6:] {
		x := (float64(raw[0]) + float64(int8(raw[3]))*1e-9) / 256
		y := (1 + float64(raw[1]) + float64(int8(raw[4]))*1e-7) / 257
		p := colour.XY{X: max(x, 0), Y: y}
		if p.X+p.Y > 1 {
			p.X = 1 - p.Y
		}
		full := p.XYZ(math.Exp2(float64(raw[2])/16 + float64(raw[5])/256))
		full.Z = max(full.Z, 0) // 1-x-y rounds
		es = append(es, emitters.Emitter{Full: full})
	}
	return es
}

// requireSound asserts what holds for any solution.
func requireSound(t *testing.T, c *emitters.Cell, got emitters.Solution, level float64) {
	for i, v := range got.Drives {
		require.True(t, v >= 0 && v <= 1 && (i < c.Len() || v == 0), "drives %v", got.Drives)
	}
	if got.Most == 0 {
		require.True(t, got.Clipped)
		require.Zero(t, got.Drives)
		return
	}
	require.InDelta(t, got.Lumens, c.Light(got.Drives).Y, 1e-9*got.Most)
	require.InDelta(t, min(max(level, 0), 1)*got.Most, got.Lumens, 1e-9*got.Most)
	if got.Lumens > 1e-9*got.Most {
		require.Less(t, distance(got.Reached, c.Light(got.Drives).XY()), 1e-9)
	}
	require.InDelta(t, distance(got.Asked, got.Reached), got.DeltaUV, 1e-9)
	if !got.Clipped {
		require.Less(t, got.DeltaUV, 1e-6)
	}
	_, most, ok := c.Brightest(got.Reached)
	require.True(t, ok, "%v reached, but out of reach", got.Reached)
	// Reached is rounded, and next to a corner the most light can change fast; in a corner
	// of two emitters a hair apart, or on an edge with a third a hair beside it, by all that
	// one of them has.
	if closest(c.Emitters()) > 1e-5 && slimmest(c.Emitters()) > 1e-6 {
		require.InDelta(t, got.Most, most, 1e-3*got.Most)
	}
}

// closest returns the least distance in u'v' of two emitters.
func closest(es []emitters.Emitter) float64 {
	least := math.Inf(1)
	for i, a := range es {
		for _, b := range es[:i] {
			least = min(least, distance(a.Full.XY(), b.Full.XY()))
		}
	}
	return least
}

// slimmest returns the least distance in u'v' of an emitter from the line through two others;
// 0 where two are one.
func slimmest(es []emitters.Emitter) float64 {
	least := math.Inf(1)
	for i := range es {
		for j := range i {
			a, b := es[i].Full.XY().UV(), es[j].Full.XY().UV()
			if a == b {
				return 0
			}
			for k := range es {
				if k != i && k != j {
					least = min(least, math.Abs(area(a, b, es[k].Full.XY().UV()))/math.Hypot(b.U-a.U, b.V-a.V))
				}
			}
		}
	}
	return least
}

// requireOptimal compares the most light near p with the proof by the dual program. On the
// very edge a rounding of p decides how much light there is, so p is moved inwards a little;
// and emitters within 1e-7 of each other or of a line count as one or as on it, which may cost
// or bring light where the gamut is as slim as that.
func requireOptimal(t *testing.T, es []emitters.Emitter, c *emitters.Cell, p colour.XY) {
	corners := c.Gamut()
	if len(corners) < 3 || narrow(corners) {
		return
	}
	var middle colour.UV
	for _, q := range corners {
		middle.U += q.U / float64(len(corners))
		middle.V += q.V / float64(len(corners))
	}
	at := p.UV()
	p = colour.UV{U: at.U + 1e-3*(middle.U-at.U), V: at.V + 1e-3*(middle.V-at.V)}.XY()
	_, most, ok := c.Brightest(p)
	require.True(t, ok)
	within := 1e-4
	if slimmest(es) < 1e-6 {
		within = 1e-2 // counting emitters a hair apart as one, or as on one line, costs near a corner
	}
	require.InEpsilon(t, dualBound(es, p), most, within, "%v of %v", p, es)
}

// narrow tells whether a gamut is less than a thousandth wide somewhere.
func narrow(corners []colour.UV) bool {
	for i, a := range corners {
		b, widest := corners[(i+1)%len(corners)], 0.0
		length := math.Hypot(b.U-a.U, b.V-a.V)
		for _, p := range corners {
			widest = max(widest, area(a, b, p)/length)
		}
		if widest < 1e-3 || length < 1e-3 {
			return true
		}
	}
	return false
}

// The seeds must reach the code behind the decoder.
func TestDecodeEmitters(t *testing.T) {
	raw := binary.BigEndian.AppendUint16(nil, 0x5050)
	require.Len(t, decodeEmitters(append(raw, 0, 0, 0, 0)), 1)
	require.Empty(t, decodeEmitters(raw))
}
