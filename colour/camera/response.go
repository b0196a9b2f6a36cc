package camera

import (
	"math"

	"linkboy/colour/spectra"
)

// Response is what a balanced camera and a light meter make of one light. Both
// are linear: the response of lights together is the sum of their responses.
type Response struct {
	// RGB are the channel levels, in the unit of Y: what Y of the balance
	// white would expose each channel alike.
	RGB
	// Y is what the meter reads: luminous flux in lumens, or lux.
	Y float64
}

// Add returns the response of both lights together.
func (r Response) Add(s Response) Response { return Response{r.RGB.Add(s.RGB), r.Y + s.Y} }

// Scale returns the response of the light times k.
func (r Response) Scale(k float64) Response { return Response{r.RGB.Scale(k), r.Y * k} }

// To returns the response of the light scaled until a meter reads y: an
// accent of 30 lx, say. A light without any Y cannot be, and stays as it is.
func (r Response) To(y float64) Response {
	if r.Y == 0 {
		return r
	}
	return Response{r.RGB.Scale(y / r.Y), y}
}

// PerMeter returns the channel levels relative to what the meter reads: 1 is
// what it implies, and 1, 1, 1 is neutral. Darkness gives zeros.
func (r Response) PerMeter() RGB {
	if r.Y == 0 {
		return r.RGB
	}
	return r.RGB.Scale(1 / r.Y)
}

// Excess returns by how many stops the hottest channel runs ahead of what the
// meter implies, log2(max(R, G, B)/Y), and which channel it is.
//
// It does not depend on how bright the light is. The balance white has 0,
// every other white a little more, saturated lights up to about 6 (royal blue
// under a tungsten balance); it falls below 0 only where the meter is more
// sensitive than the whole sensor, in lime. Darkness has 0, red; a light that
// the camera does not see at all is infinitely far below.
func (r Response) Excess() (stops float64, channel Channel) {
	level, channel := r.Hottest()
	if level <= 0 && r.Y <= 0 {
		return 0, Red
	}
	return math.Log2(level / r.Y), channel
}

// Mismatch returns, channel by channel, by how many stops r runs ahead of s
// when a meter reads the same of both, and the greatest of the three, without
// its sign. Two lights that look alike to the eye may differ here: that is
// what a camera shows of them side by side.
//
// A channel that sees nothing of either light matches; one that sees only one
// of them is infinitely far off.
func (r Response) Mismatch(s Response) (stops RGB, worst float64) {
	a, b := r.PerMeter(), s.PerMeter()
	stops = RGB{ratio(a.R, b.R), ratio(a.G, b.G), ratio(a.B, b.B)}
	worst = max(math.Abs(stops.R), math.Abs(stops.G), math.Abs(stops.B))
	return stops, worst
}

// ratio returns a/b in stops, 0 for two zeros.
func ratio(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Log2(a / b)
}

// Prepared are the responses of the emitters of a lamp, each alone at full, in
// the lamp's order. A mix of them costs four multiplications an emitter and
// allocates nothing, where summing the mixed spectrum takes two thousand.
type Prepared []Response

// Prepare works out the responses of emitters, each spectrum at its full
// drive, in W/nm.
func (v View) Prepare(emitters ...spectra.Spectrum) Prepared {
	p := make(Prepared, len(emitters))
	for i, s := range emitters {
		p[i] = v.Response(s)
	}
	return p
}

// Mix returns the response of the lamp at light-linear drives, 0..1, in the
// order of p. Drives that p has no emitter for are passed over, emitters
// without a drive are dark.
func (p Prepared) Mix(drives []float64) Response {
	var sum Response
	for i := range min(len(p), len(drives)) {
		d, e := drives[i], &p[i]
		sum.R += d * e.R
		sum.G += d * e.G
		sum.B += d * e.B
		sum.Y += d * e.Y
	}
	return sum
}
