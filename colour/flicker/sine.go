package flicker

import "math"

// Sine is a light that swings as a sine around its mean.
type Sine struct {
	// Hz is how often, above 0: Mains.LightHz for a lamp on the mains.
	Hz float64
	// Depth is how far from its mean, as a share of it: 0 to 1.
	Depth float64
}

// Ripple returns how far a frame of the given exposure time can lie from the
// mean, as a share of it, up or down:
//
//	m |sin(π f t)/(π f t)|
//
// 0 when the exposure holds whole periods. 100 Hz in 1/48 s: 4.0 % of the depth.
func (s Sine) Ripple(seconds float64) float64 {
	x := math.Pi * s.Hz * seconds
	if x == 0 {
		return s.Depth
	}
	return s.Depth * math.Abs(math.Sin(x)/x)
}

// MostRipple returns what Ripple stays under when frequency or time are not
// held exactly: m/(π f t), at most the depth itself.
func (s Sine) MostRipple(seconds float64) float64 {
	return s.Depth * min(1, 1/(math.Pi*s.Hz*seconds))
}

// SwingStops returns the stops between the brightest and the darkest frame.
func (s Sine) SwingStops(seconds float64) float64 {
	r := s.Ripple(seconds)
	return math.Log2((1 + r) / (1 - r))
}
