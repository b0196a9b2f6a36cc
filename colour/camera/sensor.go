package camera

import (
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// Sensor is a camera's spectral sensitivities: the signal of each channel per
// unit of radiant power at each nanometre, before any balance or matrix. The
// scale of each curve is free: balancing takes it out.
type Sensor struct {
	Name    string
	R, G, B spectra.Spectrum
	// Source says where the curves come from.
	Source string
}

// Balance returns s balanced to a white: the channels are scaled so that the
// white is neutral and each of them gives what a meter reads of it.
//
// white is any spectrum: a black body, daylight, a lamp's own. Its scale has
// no effect. It is an error when the white gives no light, or light to which
// a channel of s is blind.
func (s *Sensor) Balance(white spectra.Spectrum) (View, error) {
	meter := spectra.CIE1931.Functions()
	channels := [3]*spectra.Spectrum{&s.R, &s.G, &s.B}
	var lumens float64
	var raw [3]float64
	for i, power := range white {
		lumens += power * meter[i][1]
		for c, sensitivity := range channels {
			raw[c] += power * sensitivity[i]
		}
	}
	if !(lumens > 0) || math.IsInf(lumens, 0) {
		return View{}, &colour.Error{
			What: fmt.Sprintf("white balance of camera %q", s.Name),
			Why:  "the spectrum to balance to gives no light that a meter reads",
			Mend: "balance to a white: a black body, daylight or a lamp that is on",
		}
	}
	view := View{name: s.Name, weights: new([spectra.Samples][4]float64), white: &white}
	perWatt := spectra.CIE1931.LumensPerWatt()
	for c, sensitivity := range channels {
		gain := perWatt * lumens / raw[c]
		if !(gain > 0) || math.IsInf(gain, 0) {
			return View{}, &colour.Error{
				What: fmt.Sprintf("white balance of camera %q", s.Name),
				Why:  fmt.Sprintf("its %s channel sees nothing of the white to balance to", Channel(c)),
				Mend: "balance to a white with light at every wavelength, or check the camera's sensitivities",
			}
		}
		for i := range view.weights {
			view.weights[i][c] = sensitivity[i] * gain
		}
	}
	for i := range view.weights {
		view.weights[i][3] = perWatt * meter[i][1]
	}
	return view, nil
}

// BalanceAt returns s balanced to the black body of temperature t, 1000 K to
// 1e6 K: the camera's white balance set to t with no tint.
//
// The white is Planckian at every temperature, and no phase of daylight from
// 4000 K up as in rendering indices. Then what the camera calls neutral is the
// very point that a show's balance names everywhere else, the white of hue and
// saturation and of a colour written as a temperature; and it moves smoothly
// with t, where daylight sets in at 4000 K with a step of 0.0027 in uv. The
// price: daylight at 5600 K shows its own green, 0.01 to 0.05 stop of G over
// the mean of R and B in the sensors here. To balance to daylight, call Balance
// with spectra.DaylightSPD.
func (s *Sensor) BalanceAt(t colour.Kelvin) (View, error) {
	white, err := spectra.Blackbody(t)
	if err != nil {
		return View{}, err
	}
	return s.Balance(white)
}
