package camera

import "linkboy/colour/spectra"

// View is a sensor balanced to a white. It is made by Sensor.Balance and keeps
// nothing of the sensor, which may change or go; the zero View sees nothing
// and must not be used. It is a small value to copy.
type View struct {
	name string
	// weights are, at each nanometre, the channels' balanced sensitivities
	// and the meter's, in lm/W: one pass over a light gives all four.
	weights *[spectra.Samples][4]float64
	white   *spectra.Spectrum // balanced to
}

// Name returns the name of the sensor.
func (v View) Name() string { return v.name }

// Response returns what v and a meter make of the light s. It is linear in s.
// A light that is used often, an emitter, is best asked for once and kept: the
// sum over the spectrum is all the cost there is.
func (v View) Response(s spectra.Spectrum) Response {
	var r Response
	for i := range v.weights {
		w, power := &v.weights[i], s[i]
		r.R += power * w[0]
		r.G += power * w[1]
		r.B += power * w[2]
		r.Y += power * w[3]
	}
	return r
}

// See returns the balanced channel levels of the light s: each is the luminous
// flux of the balance white that would expose the channel alike. The balance
// white itself gives its own flux in all three, within 1e-9 of it.
func (v View) See(s spectra.Spectrum) RGB { return v.Response(s).RGB }

// Excess returns by how many stops the hottest channel runs ahead of what a
// meter reads of s, and which channel it is; see Response.Excess.
func (v View) Excess(s spectra.Spectrum) (stops float64, channel Channel) {
	return v.Response(s).Excess()
}

// Gain returns what each channel of v gets of any light, against what it gets of it under
// another balance of the same sensor.
func (v View) Gain(other View) RGB {
	seen, own := v.See(*other.white), other.See(*other.white)
	return RGB{seen.R / own.R, seen.G / own.G, seen.B / own.B}
}
