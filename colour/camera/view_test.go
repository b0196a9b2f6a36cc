package camera_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// TestBalanceIsNeutral: whatever the sensor and the white, the white comes out
// neutral, and as bright as a meter reads it, within 1e-9.
func TestBalanceIsNeutral(t *testing.T) {
	whites := map[string]spectra.Spectrum{
		"equal energy": gaussian(560, 1e6),
		"LED white":    gaussian(450, 20).Add(gaussian(570, 130).Scale(0.8)),
		"RGB white":    mixTo(t, blackbody(t, 3200), [3]spectra.Spectrum{gaussian(630, 18), gaussian(525, 33), gaussian(465, 23)}),
	}
	for _, k := range []colour.Kelvin{1000, 1800, 2700, 3200, 4300, 5600, 6500, 10000, 1e6} {
		whites["black body"] = blackbody(t, k)
		if k >= 4000 && k <= 25000 {
			whites["daylight"] = daylight(t, k)
		}
		for name, white := range whites {
			for _, s := range camera.Sensors() {
				for _, bright := range []float64{1e-12, 1, 1e12} {
					r := balanced(t, s, white).Response(white.Scale(bright))
					y := white.Scale(bright).XYZ().Y
					requireSame(t, camera.Response{RGB: camera.RGB{R: y, G: y, B: y}, Y: y}, r, 1e-9, s.Name+" "+name)
					stops, _ := r.Excess()
					require.InDelta(t, 0, stops, 1e-9)
				}
			}
		}
	}
}

// TestBalanceAtIsPlanckian: a temperature means the point of the Planckian
// locus, and daylight shows a little green there, as the doc comment says.
func TestBalanceAtIsPlanckian(t *testing.T) {
	for _, s := range camera.Sensors() {
		v, err := s.BalanceAt(5600)
		require.NoError(t, err)
		require.Equal(t, s.Name, v.Name())
		white := blackbody(t, 5600)
		requireSame(t, balanced(t, s, white).Response(white), v.Response(white), 0, s.Name)
		cast := v.See(daylight(t, 5600)).Cast()
		require.True(t, cast > 0.01 && cast < 0.05, "%s: %v", s.Name, cast)
	}
	_, err := camera.Sensors()[0].BalanceAt(900)
	require.ErrorContains(t, err, "900 K")
}

// TestResponseIsLinear: the response of lights together is the sum of their
// responses, and that of a brighter light is as much greater.
func TestResponseIsLinear(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for _, s := range camera.Sensors() {
		v := balanced(t, s, blackbody(t, 4300))
		for range 200 {
			a, b, k := randomLight(t, r), randomLight(t, r), 10*r.Float64()
			requireSame(t, v.Response(a).Add(v.Response(b).Scale(k)), v.Response(a.Add(b.Scale(k))), 1e-13, s.Name)
			require.Equal(t, v.Response(a).RGB, v.See(a))
			require.InDelta(t, a.XYZ().Y, v.Response(a).Y, 1e-12*a.XYZ().Y, "the meter is the eye's luminance")
		}
	}
}

// TestScalesHaveNoEffect: neither the scale of a sensor's curves, each its
// own, nor that of the white changes what is seen; and the brightness of a
// light does not change its excess.
func TestScalesHaveNoEffect(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2))
	white := blackbody(t, 3200)
	for _, s := range camera.Sensors() {
		v := balanced(t, s, white)
		for range 50 {
			scale := func() float64 { return math.Exp(20 * (r.Float64() - 0.5)) }
			other := &camera.Sensor{Name: s.Name, R: s.R.Scale(scale()), G: s.G.Scale(scale()), B: s.B.Scale(scale())}
			light := randomLight(t, r)
			requireSame(t, v.Response(light), balanced(t, other, white.Scale(scale())).Response(light), 1e-12, s.Name)

			want, channel := v.Excess(light)
			got, same := v.Excess(light.Scale(scale()))
			require.InDelta(t, want, got, 1e-12)
			require.Equal(t, channel, same)
		}
	}
}

// TestPreparedIsTheWholeSum: a mix of prepared responses is the response of
// the mixed spectrum.
func TestPreparedIsTheWholeSum(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, s := range camera.Sensors() {
		v := balanced(t, s, blackbody(t, 5600))
		for range 200 {
			emitters := make([]spectra.Spectrum, 1+r.IntN(8))
			drives := make([]float64, 8) // as a cell's, longer than the lamp has emitters
			var mixed spectra.Spectrum
			for i := range emitters {
				emitters[i], drives[i] = randomLight(t, r), r.Float64()
				mixed = mixed.Add(emitters[i].Scale(drives[i]))
			}
			p := v.Prepare(emitters...)
			requireSame(t, v.Response(mixed), p.Mix(drives), 1e-13, s.Name)
		}
	}
	v := balanced(t, sensor(t, "bayer-a"), blackbody(t, 5600))
	p := v.Prepare(gaussian(630, 18), gaussian(525, 33))
	require.Equal(t, p[0], p.Mix([]float64{1}), "emitters without a drive are dark")
	require.Equal(t, camera.Response{}, v.Prepare().Mix([]float64{1}))
}

// TestViewKeepsNothingOfTheSensor: a sensor may change behind a view.
func TestViewKeepsNothingOfTheSensor(t *testing.T) {
	s := *sensor(t, "bayer-a")
	light := gaussian(465, 23)
	v := balanced(t, &s, blackbody(t, 3200))
	before := v.Response(light)
	s.B = spectra.Spectrum{}
	require.Equal(t, before, v.Response(light))
}

// TestBalanceRefuses: no white, no view.
func TestBalanceRefuses(t *testing.T) {
	red := &camera.Sensor{Name: "red-blind", G: gaussian(530, 80), B: gaussian(450, 60)}
	for name, c := range map[string]struct {
		sensor *camera.Sensor
		white  spectra.Spectrum
		why    string
	}{
		"darkness":         {sensor(t, "bayer-a"), spectra.Spectrum{}, "gives no light"},
		"no number":        {sensor(t, "bayer-a"), blackbody(t, 3200).Scale(math.NaN()), "gives no light"},
		"infinitely much":  {sensor(t, "bayer-a"), blackbody(t, 3200).Scale(math.Inf(1)), "gives no light"},
		"a blind channel":  {red, blackbody(t, 3200), "its red channel sees nothing"},
		"an unseen colour": {sensor(t, "layered-a"), gaussian(760, 5), "its red channel sees nothing"},
	} {
		_, err := c.sensor.Balance(c.white)
		var e *colour.Error
		require.ErrorAs(t, err, &e, name)
		require.Contains(t, e.Why, c.why, name)
		require.NotEmpty(t, e.Mend, name)
	}
}

// TestHotPathAllocatesNothing: what solvers and displays call in a loop.
func TestHotPathAllocatesNothing(t *testing.T) {
	v := balanced(t, sensor(t, "bayer-a"), blackbody(t, 3200))
	light := gaussian(465, 23)
	p := v.Prepare(gaussian(630, 18), gaussian(525, 33), light)
	drives := [8]float64{0.3, 0.5, 0.1}
	exposure := camera.Exposure{KeyLux: 120, OverStops: 6}
	var sink float64
	for name, call := range map[string]func(){
		"See":             func() { sink += v.See(light).B },
		"Excess":          func() { x, _ := v.Excess(light); sink += x },
		"Mix":             func() { sink += p.Mix(drives[:]).B },
		"Excess of a mix": func() { x, _ := p.Mix(drives[:]).Excess(); sink += x },
		"Mismatch":        func() { _, x := p[0].Mismatch(p[1]); sink += x },
		"Clip":            func() { x, _ := exposure.Clip(p[2], 0.8); sink += x },
	} {
		require.Zero(t, testing.AllocsPerRun(100, call), name)
	}
	require.False(t, math.IsNaN(sink))
}

// Both balances weigh the same channels: what one sees of any light is what the other
// sees, times one number a channel.
func TestGainTurnsOneBalanceIntoAnother(t *testing.T) {
	sensor, err := camera.SensorByName(camera.DefaultSensor)
	require.NoError(t, err)
	warm, err := sensor.BalanceAt(3200)
	require.NoError(t, err)
	cold, err := sensor.BalanceAt(5600)
	require.NoError(t, err)
	gain := cold.Gain(warm)
	for _, light := range []spectra.Spectrum{blackbody(t, 2000), blackbody(t, 9000), gaussian(465, 23)} {
		a, b := warm.See(light), cold.See(light)
		require.InEpsilon(t, b.R, a.R*gain.R, 1e-9)
		require.InEpsilon(t, b.G, a.G*gain.G, 1e-9)
		require.InEpsilon(t, b.B, a.B*gain.B, 1e-9)
	}
}
