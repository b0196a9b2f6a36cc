package picture_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// even shines alike to the whole half space, or as two back to back, all round.
type even struct{}

func (even) PerLumen(float64) float64 { return 1 / (4 * math.Pi) }

// hazy is the shot of shotOf in a haze.
func hazy(t testing.TB, share float64, lookAt vec) (*transport.Lit, *picture.Shot) {
	lit, shot := shotOf(t, lookAt, 48, 27)
	if share == 0 {
		return lit, shot.InHaze(nil)
	}
	return lit, shot.InHaze(airOf(t, share, lookAt))
}

func hazeTask(t testing.TB, share float64, lookAt vec) picture.HazeTask {
	p, _ := set(t)
	return picture.HazeTask{Place: p, Lamps: [][]int{{0}, {1}}, Camera: cameraTo(lookAt), Share: share}
}

func airOf(t testing.TB, share float64, lookAt vec) *picture.Air {
	a, err := hazeTask(t, share, lookAt).Compute(context.Background())
	require.NoError(t, err)
	return a
}

// What a surface gives goes down with the way as exp(-σd), where a tenth is lost in 10 m
// (Bouguer's law): here with lamps that light it and throw nothing into the air.
func TestHazeTakesByBeersLaw(t *testing.T) {
	require.InEpsilon(t, 0.9, math.Exp(-10*picture.Extinction(0.1)), 1e-12)
	card := vec{X: 3, Y: 2, Z: 1.5}
	lit, clear := hazy(t, 0, card)
	_, haze := hazy(t, 0.1, card)
	light := picture.NewLight(lit.Map())
	light.Set(lit.Map(), white(1000, 4000))
	for k := range light.Cells {
		light.Cells[k] = [3]float32{}
	}
	a, b := clear.NewFrame(), haze.NewFrame()
	clear.Expose(light, 100, a)
	haze.Expose(light, 100, b)
	middle := 3 * (27/2*48 + 24)
	require.Positive(t, a.Values[middle])
	require.InEpsilon(t, math.Pow(0.9, 3.5/10), b.Values[middle]/a.Values[middle], 1e-3, "the card is 3.5 m away")
}

// The light that the air throws on a point from all around, σ/(16π²)·∫dV/(r²t²) for a lumen
// that shines alike all round, is σπ/(16·D) in thin haze: the integral over space of 1/(r²t²),
// for two points D apart, is π³/D (the convolution of 1/r² with itself, by Fourier
// transform 2π²/k each; from memory).
func TestThinHazeThrowsAsTheIntegralSays(t *testing.T) {
	const thin = 1e-7
	for _, d := range []float64{1, 4, 20} {
		require.InEpsilon(t, thin*math.Pi/(16*d), thrown(d, thin, 1e5), 0.02, "%v m", d)
	}
}

// thrown is the light from all directions at a distance from a lamp that shines all round.
func thrown(d, extinction, far float64) float64 {
	scene := solid.NewScene(nil, nil)
	lamp := transport.Source{Facing: vec{X: 1}, Beam: even{}}
	back := transport.Source{Facing: vec{X: -1}, Beam: even{}}
	sum := 0.0
	const rings = 800
	for i := range rings { // rings about the way to the lamp, close where it is
		a := math.Pi * math.Pow((float64(i)+0.5)/rings, 2)
		width := 2 * math.Pi * (float64(i) + 0.5) / rings / rings
		ray := solid.Ray{At: vec{X: -d}, Along: vec{X: math.Cos(a), Y: math.Sin(a)}}
		value := picture.Scatter(scene, ray, far, extinction, lamp) + picture.Scatter(scene, ray, far, extinction, back)
		sum += value / math.Pi * 2 * math.Pi * math.Sin(a) * width
	}
	return sum
}

// No light is made: all of a lamp's light is thrown once in endless haze, and each lumen of
// it then goes 1/σ on the mean before it is thrown again; so its light, summed over space,
// is 1/σ.
func TestHazeKeepsTheLight(t *testing.T) {
	const extinction = 0.1
	sum := 0.0
	const shells = 40
	for i := range shells {
		x := (float64(i) + 0.5) / shells
		d := 150 * x * x
		width := 150 * 2 * x / shells
		sum += thrown(d, extinction, 300) * 4 * math.Pi * d * d * width
	}
	require.InEpsilon(t, 1/extinction, sum, 0.05)
}

// More haze lifts black more and takes more contrast, and what hides a lamp from the air
// keeps it dark.
func TestHazeGrows(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	sky := vec{X: 3, Y: 0, Z: 40}
	before, contrast := float32(0), float32(math.Inf(1))
	for _, share := range []float64{0, 0.02, 0.05, 0.1, 0.2} {
		lit, shot := hazy(t, share, sky)
		frame := expose(lit, shot, 100, white(1000, 4000))
		black := frame.Values[3*24]
		lit, shot = hazy(t, share, vec{X: 3, Y: 2, Z: 1.5})
		now := expose(lit, shot, 100, white(1000, 4000)).Values[3*(27/2*48+24)] / black
		if share == 0 {
			require.Zero(t, black)
		} else {
			require.Greater(t, black, before)
			require.Less(t, now, contrast)
			contrast = now
		}
		before = black
	}

	lamp := transport.Source{Facing: vec{X: 1}, Beam: transport.Lambert{}}
	ray := solid.Ray{At: vec{X: 3, Y: -5}, Along: vec{Y: 1}}
	open := picture.Scatter(solid.NewScene(nil, nil), ray, 10, 0.01, lamp)
	board := rectangle(t, vec{X: 1, Y: -9, Z: -9}, vec{Y: 9}, vec{Z: 18}) // hides all of it on this side of the lamp
	half := picture.Scatter(solid.NewScene([]solid.Surface{board}, nil), ray, 10, 0.01, lamp)
	require.InEpsilon(t, 0.5, half/open, 0.02)
}

func TestExposeInHazeAllocNothing(t *testing.T) {
	lit, shot := hazy(t, 0.1, vec{X: 3, Y: 2, Z: 1.5})
	light, frame := picture.NewLight(lit.Map()), shot.NewFrame()
	light.Set(lit.Map(), white(1000, 4000))
	require.Zero(t, testing.AllocsPerRun(5, func() { shot.Expose(light, 100, frame) }))
}
