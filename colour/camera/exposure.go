package camera

import (
	"math"

	"linkboy/colour/photometry"
)

// Exposure is how a camera is exposed.
type Exposure struct {
	// KeyLux is the incident light of the balance white, in lux, under
	// which an 18 % grey comes out as middle grey: what an incident meter
	// asks for at this sensitivity, stop and shutter (exposure.Meter.Lux).
	// Above 0.
	KeyLux float64
	// OverStops is the range from middle grey up to where a channel clips.
	// Measured cameras have 5 to 8; 6 is a start (common practice).
	OverStops float64
}

// ClipMargin returns how many stops the hottest channel stays below clipping
// on a matt surface of the given reflectance, above 0 and at most 1, lit by
// lux of a light with the given excess:
//
//	margin = over - log2(lux/key) - excess - log2(reflectance/0.18)
//
// Below 0 it clips. No light has an infinite margin. The surface is taken as
// grey: one of the light's own colour reflects more of it than its grey does.
//
// An accent of 30 lx of 465 nm blue with an excess of 4.87 stops, on a white
// shirt (0.8) under a key of 120 lx and with 6 stops over, keeps 0.98 stop,
// though a meter reads it two stops under the key.
func (e Exposure) ClipMargin(lux, excess, reflectance float64) (stops float64) {
	return e.OverStops - math.Log2(lux/e.KeyLux) - excess - math.Log2(reflectance/photometry.MiddleGrey)
}

// MostLux returns the most lux of a light with the given excess under which a
// surface of the given reflectance does not clip: that of margin 0.
func (e Exposure) MostLux(excess, reflectance float64) float64 {
	return e.KeyLux * math.Exp2(e.OverStops-excess) * photometry.MiddleGrey / reflectance
}

// Clip is ClipMargin of all the light at a place together: r has the sum of
// their responses, in lux. It also tells which channel clips first.
func (e Exposure) Clip(r Response, reflectance float64) (stops float64, channel Channel) {
	excess, channel := r.Excess()
	return e.ClipMargin(r.Y, excess, reflectance), channel
}
