package picture_test

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

type vec = solid.Vec

func rectangle(t testing.TB, corner, u, v vec) solid.Surface {
	s, err := solid.NewRectangle(corner, u, v)
	require.NoError(t, err)
	return s
}

// set is a floor and a wall, a grey card on a stand, a strip and a panel.
func set(t testing.TB) (*transport.Place, []solid.Surface) {
	p := &transport.Place{
		Pieces: []transport.Piece{
			{Surface: rectangle(t, vec{}, vec{X: 6}, vec{Y: 4}), Finish: transport.Grey(0.3), Other: -1},
			{Surface: rectangle(t, vec{Y: 4}, vec{X: 6}, vec{Z: 3}), Finish: transport.Finish{R: 0.5, G: 0.4, B: 0.3}, Other: -1},
			{Surface: rectangle(t, vec{X: 2.9, Y: 2, Z: 1.4}, vec{X: 0.2}, vec{Z: 0.2}), Finish: transport.Grey(0.18), Other: -1},
		},
		Sources: []transport.Source{
			{Centre: vec{X: 1.5, Y: 3.5, Z: 0.1}, Along: vec{X: 1}},
			{Centre: vec{X: 3, Y: -2, Z: 2.5}, Along: vec{X: 0.6}, Across: vec{Z: 0.3}, Facing: vec{Y: 4, Z: -1}.Unit(), Beam: transport.Lambert{}},
		},
	}
	tube, err := solid.NewTube(vec{X: 1, Y: 3.5, Z: 0.1}, vec{X: 1}, 0.02)
	require.NoError(t, err)
	return p, []solid.Surface{tube, rectangle(t, vec{X: 2.7, Y: -2, Z: 2.35}, vec{X: 0.6}, vec{Z: 0.3})}
}

func shotOf(t testing.TB, lookAt vec, width, height int) (*transport.Lit, *picture.Shot) {
	p, faces := set(t)
	m, err := transport.Compute(context.Background(), p, transport.Options{Texels: 4000})
	require.NoError(t, err)
	lit := transport.NewLit(p, m)
	shot, err := picture.NewShot(context.Background(), lit, p.Sources, lampsOf(faces),
		cameraTo(lookAt), width, height)
	require.NoError(t, err)
	return lit, shot
}

func cameraTo(lookAt vec) picture.Camera {
	return picture.Camera{At: vec{X: 3, Y: -1.5, Z: 1.5}, LookAt: lookAt, LensMM: 24, WidthMM: 24.9}
}

func white(lumens ...float64) []camera.Response {
	cells := make([]camera.Response, len(lumens))
	for i, l := range lumens {
		cells[i] = camera.Response{RGB: camera.RGB{R: l, G: l, B: l}, Y: l}
	}
	return cells
}

func expose(lit *transport.Lit, shot *picture.Shot, key float64, cells []camera.Response) *picture.Frame {
	light, frame := picture.NewLight(lit.Map()), shot.NewFrame()
	light.Set(lit.Map(), cells)
	shot.Expose(light, key, frame)
	return frame
}

// What a meter reads at a grey card is what the picture shows of it: under a key of that
// many lux the card comes out at 0.18, which is what a meter is for (ISO 2720).
func TestMeterAndPictureAgreeOnAGreyCard(t *testing.T) {
	card := vec{X: 3, Y: 2, Z: 1.5}
	lit, shot := shotOf(t, card, 63, 35)
	for _, cells := range [][]camera.Response{white(0, 4000), white(1000, 2000)} {
		lux := lit.Probe(card.Sub(vec{Y: 1e-4}), vec{Y: -1})
		for c := range lux {
			sum := 0.0
			for k, l := range lux[c] {
				sum += float64(l) * cells[k].Y
			}
			frame := expose(lit, shot, sum, cells)
			middle := frame.Values[3*(17*63+31)+c]
			require.InEpsilon(t, 0.18, middle, 0.02, "channel %d", c)
		}
	}
}

// Light adds up: the picture of all lamps is the sum of the pictures of each.
func TestPicturesAddUp(t *testing.T) {
	lit, shot := shotOf(t, vec{X: 3, Y: 2, Z: 1}, 64, 36)
	r := rand.New(rand.NewPCG(1, 2))
	for range 10 {
		a, b := 3000*r.Float64(), 3000*r.Float64()
		both, one, two := expose(lit, shot, 100, white(a, b)), expose(lit, shot, 100, white(a, 0)), expose(lit, shot, 100, white(0, b))
		for i, v := range both.Values {
			require.InDelta(t, v, one.Values[i]+two.Values[i], 1e-5+1e-5*float64(v))
		}
	}
}

// A tube in shot stands over grey by its luminance: log2(L/(0.18·E/π)). 1600 lm, 40 mm
// by 1.15 m all round have 3524 cd/m² (trade.md section 2, from the handbook's
// F = π²·L·D·l), here 1600 lm of 1 m.
func TestLampsInShotHaveTheirLuminance(t *testing.T) {
	lit, shot := shotOf(t, vec{X: 1.5, Y: 3.5, Z: 0.1}, 201, 113)
	frame := expose(lit, shot, 120, white(1600, 0))
	luminance := 1600 / (math.Pi * math.Pi * 0.04 * 1)
	require.InEpsilon(t, 3524, 1600/(math.Pi*math.Pi*0.04*1.15), 0.001)
	want := luminance * math.Pi / 120
	require.InEpsilon(t, want, frame.Values[3*(56*201+100)], 0.001)
	require.InDelta(t, math.Log2(luminance/(0.18*120/math.Pi)), picture.Stops(float64(frame.Values[3*(56*201+100)])), 0.01)
}

// A flat face seen from behind is dark, and one seen aslant is as bright as head on.
func TestGlareIsThatOfAMattFace(t *testing.T) {
	s := transport.Source{Along: vec{X: 0.6}, Across: vec{Y: 0.3}, Facing: vec{Z: 1}, Beam: transport.Lambert{}}
	face := rectangle(t, vec{X: -0.3, Y: -0.15}, vec{X: 0.6}, vec{Y: 0.3})
	// L = F/(π·A): 0.3 by 0.6 m with 10 000 lm has 17 684 cd/m² (trade.md section 2).
	for _, from := range []vec{{Z: 2}, {X: 3, Z: 1}} {
		require.InEpsilon(t, 17684, 10_000*s.Glare(face, vec{}, from), 0.0001)
	}
	require.Zero(t, s.Glare(face, vec{}, vec{Z: -1}))
}

func TestCurve(t *testing.T) {
	for _, over := range []float64{2.47, 5, 6, 8} {
		c := picture.NewCurve(over, camera.Matrix{{1}, {0, 1}, {0, 0, 1}})
		frame := &picture.Frame{Width: 4, Height: 1, Values: []float32{
			0.18, 0.18, 0.18,
			float32(0.18 * math.Exp2(over)), 1e30, float32(0.18 * math.Exp2(over-1)),
			0, -1, float32(math.NaN()),
			0.09, 0.36, 0.72,
		}}
		pix := c.Develop(frame, nil).Pix
		// 0.18 is 118 in 8 bits of sRGB: 255·(1.055·0.18^(1/2.4) - 0.055) = 117.7.
		require.InDelta(t, 118, pix[0], 1)
		require.Equal(t, []uint8{255, 255}, pix[4:6], "clipped")
		require.Less(t, pix[6], uint8(255), "a stop under the clip is not white")
		require.Equal(t, []uint8{0, 0, 0}, pix[8:11])
		require.Less(t, pix[12], pix[0])
		require.Less(t, pix[13], pix[14])
		again := image.NewNRGBA(image.Rect(0, 0, 4, 1))
		require.Same(t, again, c.Develop(frame, again))
	}
}

// A mist filter moves light and adds none: what is metered stays (common practice, no
// source), and so does the sum over the picture.
func TestGlowMovesLight(t *testing.T) {
	frame := &picture.Frame{Width: 80, Height: 45, Values: make([]float32, 3*80*45)}
	frame.Values[3*(20*80+40)] = 100
	frame.Values[3*(2*80+1)+1] = 50 // near a corner
	picture.Glow(frame, 0.3)
	sums := [3]float64{}
	for i, v := range frame.Values {
		require.GreaterOrEqual(t, v, float32(-1e-5))
		sums[i%3] += float64(v)
	}
	require.InDelta(t, 100, sums[0], 0.01)
	require.InDelta(t, 50, sums[1], 0.01)
	require.InDelta(t, 0, sums[2], 0.01)
	require.InDelta(t, 80, frame.Values[3*(20*80+40)], 10)
	require.Positive(t, frame.Values[3*(20*80+45)])
}

func TestBandsRiseInLightness(t *testing.T) {
	last := -1.0
	for n := -7; n <= 7; n++ {
		c := picture.Band(float64(n), 7)
		// Relative luminance of WCAG 2.2 without its transfer: enough for an order.
		y := 0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B)
		require.GreaterOrEqual(t, y, last, "%d stops", n)
		last = y
	}
	require.Equal(t, uint8(255), picture.Band(6.1, 6).B)
}

func TestCameraAngle(t *testing.T) {
	// 2·atan(d/(2f)): 36 mm wide with 50 mm sees 39.6°, with 24 mm 73.7° (tables of lens makers).
	require.InDelta(t, 39.6, picture.Camera{LensMM: 50, WidthMM: 36}.Angle(), 0.05)
	require.InDelta(t, 73.7, picture.Camera{LensMM: 24, WidthMM: 36}.Angle(), 0.05)
}

func TestShotRefuses(t *testing.T) {
	p, faces := set(t)
	m, err := transport.Compute(context.Background(), p, transport.Options{Texels: 100, Rays: 4, Bounces: 1})
	require.NoError(t, err)
	lit := transport.NewLit(p, m)
	_, err = picture.NewShot(context.Background(), lit, p.Sources, lampsOf(faces), picture.Camera{LensMM: 24, WidthMM: 24.9}, 8, 8)
	require.ErrorIs(t, err, picture.ErrLooksNowhere)
	_, err = picture.NewShot(context.Background(), lit, p.Sources, lampsOf(faces), picture.Camera{LookAt: vec{X: 1}}, 8, 8)
	require.ErrorIs(t, err, picture.ErrLens)
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = picture.NewShot(gone, lit, p.Sources, lampsOf(faces), picture.Camera{LookAt: vec{X: 1}, LensMM: 24, WidthMM: 24.9}, 8, 8)
	require.ErrorIs(t, err, context.Canceled)
}

func TestExposureDoesNotAllocate(t *testing.T) {
	lit, shot := shotOf(t, vec{X: 3, Y: 2, Z: 1}, 32, 18)
	light, frame, cells := picture.NewLight(lit.Map()), shot.NewFrame(), white(100, 200)
	require.Zero(t, testing.AllocsPerRun(10, func() {
		light.Set(lit.Map(), cells)
		shot.Expose(light, 120, frame)
	}))
}

// Colours that a screen can show stay nearly as they are; those out of it come in, none
// jumps, and light stays: the greatest channel is not touched.
func TestCompressDrawsInWhatNoScreenShows(t *testing.T) {
	last := float32(0.5)
	for d := float32(0); d <= 4; d += 0.01 {
		v := picture.Compress([3]float32{0.5, 0.5 * (1 - d), 0.25})
		require.Equal(t, float32(0.5), v[0])
		require.LessOrEqual(t, v[1], last+1e-6)
		require.LessOrEqual(t, last-v[1], float32(0.0051), "no jump at %v", d)
		if d <= 0.8 {
			require.InDelta(t, 0.5*(1-d), v[1], 1e-6)
		}
		last = v[1]
	}
	require.InDelta(t, 0, picture.Compress([3]float32{1, 1 - 1.6, 0.5})[1], 1e-4)
}

// lampsOf are lamps of a source each.
func lampsOf(faces []solid.Surface) []picture.Lamp {
	var all []picture.Lamp
	for k, f := range faces {
		all = append(all, picture.Lamp{Face: f, Sources: []int{k}})
	}
	return all
}
