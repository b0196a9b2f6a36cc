package calibrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// led returns the light of one LED by its peak and its width at half height, nm.
func led(peak, width float64) spectra.Spectrum {
	s := spectra.Ohno(peak, width/0.9218)
	return s.Scale(1 / s.Power())
}

// tube is a generic type of lamp with invented numbers.
func tube() *lamp.Type {
	warm := led(450, 36).Scale(0.06).Add(led(597, 120).Scale(0.94))
	return &lamp.Type{
		Name: "tube", Class: lamp.Tube, Cells: 1,
		Emitters: []lamp.Emitter{
			{Name: "red", Spectrum: led(630, 18), Lumens: 260},
			{Name: "green", Spectrum: led(525, 33), Lumens: 600},
			{Name: "blue", Spectrum: led(465, 23), Lumens: 58},
			{Name: "warm", Spectrum: warm, Lumens: 700},
		},
		Photometry: lamp.Photometry{BeamDeg: 120, FieldDeg: 168.5, LengthM: 1.15, WidthM: 0.03},
		Modes:      []*lamp.Mode{mode("8-bit", "square", 8), mode("16-bit", "square", 16), mode("straight", "linear", 16)},
	}
}

func mode(name string, curve lamp.Curve, bits int) *lamp.Mode {
	m := &lamp.Mode{Name: name, Cells: 1, Footprint: 4 * bits / 8, Curve: curve}
	for i, e := range []string{"red", "green", "blue", "warm"} {
		m.Channels = append(m.Channels, lamp.Channel{Offset: i * bits / 8, Bits: bits, Name: e, Emitter: i})
	}
	return m
}

// meter reads a lamp whose truth is known: the forward model and its noise.
type meter struct {
	lamp  *lamp.Type
	curve func(control float64) float64
	lux   float64 // noise, one standard deviation, as a share
	xy    float64 // noise of x and of y
	noise *rand.Rand
}

func newMeter(t *lamp.Type, curve func(float64) float64, lux, xy float64) *meter {
	return &meter{t, curve, lux, xy, rand.New(rand.NewPCG(3, 4))}
}

// read returns what the meter shows of one emitter. Lux are from the finite
// line summed in strips, not from the formula that the fit inverts.
func (m *meter) read(emitter int, drive, distance float64) calibrate.Reading {
	e := m.lamp.Emitters[emitter]
	lux := lineLux(e.Lumens*m.curve(drive), m.lamp.Photometry.LengthM, distance)
	xy := e.Spectrum.XYZ().XY()
	return calibrate.Reading{
		Emitter: e.Name, Drive: drive,
		Lux: lux * math.Exp(m.lux*m.noise.NormFloat64()), DistanceM: distance,
		XY: colour.XY{X: xy.X + m.xy*m.noise.NormFloat64(), Y: xy.Y + m.xy*m.noise.NormFloat64()},
	}
}

// lineLux adds up what 20000 short Lambertian strips of a tube give on a plane
// that faces its middle: E = sum I0/n cos^2 / r^2 with the cosine at the strip
// and at the receiver.
func lineLux(lumens, length, d float64) float64 {
	const n = 20000
	var e float64
	for i := range n {
		x := ((float64(i)+0.5)/n - 0.5) * length
		r2 := x*x + d*d
		cos := d / math.Sqrt(r2)
		e += lumens / math.Pi / n * cos * cos / r2
	}
	return e
}

func curveByName(t testing.TB, name lamp.Curve) emitters.Curve {
	c, err := emitters.CurveByName(string(name))
	require.NoError(t, err)
	return c
}

// requireNoFaults fails with the text of the first fault.
func requireNoFaults(t testing.TB, faults []calibrate.Fault) {
	t.Helper()
	for _, f := range faults {
		t.Error(f.Error())
	}
}
