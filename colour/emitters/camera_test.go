package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// randomCamera draws what a camera sees of each emitter: channels that follow the
// emitter's light more or less, as real ones follow X, Y and Z.
func randomCamera(r *rand.Rand, es []emitters.Emitter) []emitters.Channels {
	var mix [3][3]float64
	for ch := range mix {
		for k := range mix[ch] {
			mix[ch][k] = math.Abs(r.NormFloat64())
		}
		mix[ch][ch] += 2
	}
	odd := r.Float64()
	see := make([]emitters.Channels, len(es))
	for i, e := range es {
		f := e.Full
		for ch := range mix {
			see[i][ch] = (mix[ch][0]*f.X + mix[ch][1]*f.Y + mix[ch][2]*f.Z) * math.Exp(odd*r.NormFloat64())
		}
	}
	if len(es) > 1 && r.IntN(5) == 0 {
		for ch := range see[1] { // seen alike, lumen for lumen
			see[1][ch] = see[0][ch] * es[1].Full.Y / es[0].Full.Y
		}
	}
	return see
}

func lists(see []emitters.Channels) [][]float64 {
	out := make([][]float64, len(see))
	for i, c := range see {
		out[i] = c[:]
	}
	return out
}

// rowsSeen returns luminance and the camera's channels, these in the size of the first.
func rowsSeen(c *emitters.Cell, see []emitters.Channels) [][]float64 {
	rows := [][]float64{rowsXYZ(c)[1], nil, nil, nil}
	size, most := 0.0, 0.0
	for i, channels := range see {
		size += rows[0][i] * rows[0][i]
		for ch, v := range channels {
			rows[1+ch] = append(rows[1+ch], v)
			most = max(most, math.Abs(v))
		}
	}
	for _, row := range rows[1:] {
		for i := range row {
			row[i] *= math.Sqrt(size) / most
		}
	}
	return rows
}

// Both programs of the recipe meet the conditions on 100 000 random cases.
func TestCameraMeetsKKT(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 44))
	for cases := 0; cases < 100_000; {
		es, allow := anySet(r, 1+r.IntN(emitters.Max))
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		see := randomCamera(r, es)
		features := randomFeatures(r, es)
		tie := emitters.GramOf(features)
		camera, err := emitters.NewCamera(c, see, &tie)
		require.NoError(t, err)
		lumens := rowsXYZ(c)[1:2]
		seen := rowsSeen(c, see)
		for range 10 {
			s := c.Solve(anyTarget(r, c), anyLevel(r), white)
			pull := pulled(emitters.PullOf(lists(see), anyReference(r, lists(see))), s.Lumens)
			requireKKT(t, problem{c, lumens, lumens, s.Drives, pull, camera.ProveNear(s.Drives, pull)}, allow)
			requireKKT(t, problem{c, seen, seen, s.Drives, emitters.Pull{}, camera.ProveTie(s.Drives)}, roughly)
			cases++
		}
	}
}

// distanceSeen is how far the camera's view of a mix is from a reference.
func distanceSeen(a emitters.Channels, lumens float64, reference emitters.Channels) float64 {
	sum := 0.0
	for ch := range a {
		d := a[ch] - lumens*reference[ch]
		sum += d * d
	}
	return math.Sqrt(sum)
}

// A reference that the cell can match (the camera's view of some mix with the lumens
// wanted) is matched, and no random mix of the lumens is nearer to one that it cannot.
func TestCameraIsNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(45, 46))
	for range 3000 {
		es := randomSet(r, 1+r.IntN(emitters.Max))
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		see := randomCamera(r, es)
		tie := emitters.GramOf(randomFeatures(r, es))
		camera, err := emitters.NewCamera(c, see, &tie)
		require.NoError(t, err)
		asked, level := inGamut(r, c), colour.Level(r.Float64())
		lumens := c.Solve(asked, level, white).Lumens
		mixes := mixesOf(r, c, lumens)
		for k, d := range mixes {
			reference := camera.See(d)
			size := 0.0
			for ch := range reference {
				reference[ch] /= lumens
				size += reference[ch] * reference[ch] * lumens * lumens
			}
			s := camera.Solve(asked, level, white, reference)
			require.InEpsilon(t, lumens, s.Lumens, 1e-6)
			require.Less(t, distanceSeen(camera.See(s.Drives), lumens, reference), 1e-5*math.Sqrt(size), "mix %d of %v", k, es)

			odd := reference
			odd[r.IntN(3)] *= 1 + r.NormFloat64()
			s = camera.Solve(asked, level, white, odd)
			got := distanceSeen(camera.See(s.Drives), lumens, odd)
			for _, other := range mixes {
				require.LessOrEqual(t, got, distanceSeen(camera.See(other), lumens, odd)+1e-4*math.Sqrt(size))
			}
		}
	}
}

// mixesOf draws mixes with the given lumens.
func mixesOf(r *rand.Rand, c *emitters.Cell, lumens float64) (out []emitters.Drives) {
	for len(out) < 5 {
		var d emitters.Drives
		for i := range c.Len() {
			d[i] = r.Float64()
		}
		if light := c.Light(d).Y; light >= lumens {
			out = append(out, d.Scale(lumens/light))
		} else { // up towards all at full
			var all emitters.Drives
			for i := range c.Len() {
				all[i] = 1
			}
			most := c.Light(all).Y
			share := (lumens - light) / (most - light)
			for i := range c.Len() {
				d[i] += share * (1 - d[i])
			}
			out = append(out, d)
		}
	}
	return out
}

func TestNewCameraRefuses(t *testing.T) {
	c := cellOf(t, realistic(t)[2])
	for _, see := range [][]emitters.Channels{
		nil,
		{{1, 1, 1}, {1, 1, 1}},
		{{1, 1, 1}, {1, math.NaN(), 1}, {1, 1, 1}},
		{{1, 1, 1}, {1, 1, math.Inf(1)}, {1, 1, 1}},
	} {
		_, err := emitters.NewCamera(c, see, &emitters.Gram{})
		require.ErrorIs(t, err, emitters.ErrGram)
	}
}
