package quality

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/difference"
	"linkboy/colour/spectra"
)

// TLCIResult is the television lighting consistency index of a light.
//
//	Q         0 to 100: from 85 up a colourist would leave the picture as it
//	          is, from 75 there is a little to correct, from 50 work that ends
//	          well, under 25 nothing will mend it (EBU R 137, from memory)
//	DE        CIEDE2000 of each of the 18 patches on the screen, 0 and up
//	Excluded  how many patches were left out because a signal of the camera
//	          fell below 0; their DE is 0
//	CCT       the temperature at which the reference was taken, with
//	          c2 = 1.4388e-2 m K as everywhere here
type TLCIResult struct {
	Q        float64
	DE       [18]float64
	Excluded int
	CCT      colour.CCT
}

// The method counts temperatures by the older c2 = 1.435e-2 m K and blends its
// references from a black body at 3400 K to daylight at 5000 K [Tech 3355].
// Illuminant A is one of 2848 K on that scale.
const (
	ebuScale                  = 1.4350 / 1.4388
	ebuBlack    colour.Kelvin = 3400
	ebuDaylight colour.Kelvin = 5000
)

// ebuExposure puts a reflectance of 0.9 at full video level, as the published
// values of the index ask for.
const ebuExposure = 1 / 0.9

// ebuMatrix is the camera's linear matrix with its saturation of 90 %
// multiplied in [Tech 3353].
var ebuMatrix = func() (m [3][3]float64) {
	camera := [3][3]float64{{1.182, -0.209, 0.027}, {0.107, 0.890, 0.003}, {0.040, -0.134, 1.094}}
	for i := range 3 {
		for j := range 3 {
			grey := (camera[0][j] + camera[1][j] + camera[2][j]) / 3
			m[i][j] = 0.9*camera[i][j] + 0.1*grey
		}
	}
	return m
}()

// TLCI returns the television lighting consistency index (TLCI-2012) of s:
// how near the picture of 18 patches that a broadcast camera takes under s
// comes to the one under a reference light of the same temperature.
//
//	domain  s with powers of 0 and up in any unit; 1000 to 25000 K, |Duv| to 0.05
//	range   Q 0 to 100, 50 where the weighted difference is 3.16
//
// The camera is balanced to each light, its signals go through BT.709's curve
// and a screen of BT.1886 to CIELAB under D65; Q is 100/(1+(ΔE/3.16)^2.4) of
// the fourth-power mean ΔE of the patches. The sums run from 380 to 760 nm at
// 1 nm. Source: [Tech 3355], [Tech 3353].
func TLCI(s spectra.Spectrum) (TLCIResult, error) { return TLCIAt(s, Every1) }

// TLCIAt is TLCI with sums at a given step; Every5 is the rule of the standard.
func TLCIAt(s spectra.Spectrum, step Step) (TLCIResult, error) {
	const figure = "TLCI"
	test, err := prepare(figure, &s, step)
	if err != nil {
		return TLCIResult{}, err
	}
	b := step.between(380, 760)
	cct, err := b.whiteOf(figure, &test)
	if err != nil {
		return TLCIResult{}, err
	}
	reference, err := ebuReference(cct.T)
	if err != nil {
		return TLCIResult{}, err
	}
	seen, err := ebuShoot(b, &test)
	if err != nil {
		return TLCIResult{}, err
	}
	was, err := ebuShoot(b, &reference)
	if err != nil {
		return TLCIResult{}, err
	}
	return tlciOf(cct, &was, &seen)
}

// tlciOf compares two pictures.
func tlciOf(cct colour.CCT, was, seen *[18]ebuPatch) (TLCIResult, error) {
	out := TLCIResult{CCT: cct}
	var fourth float64
	for i := range out.DE {
		if was[i].below || seen[i].below {
			out.Excluded++
			continue
		}
		de := difference.DE2000(was[i].lab, seen[i].lab)
		out.DE[i] = de
		fourth += de * de * de * de
	}
	if out.Excluded == len(out.DE) {
		return TLCIResult{}, notWhite("TLCI", "every patch drives the camera below black")
	}
	mean := math.Sqrt(math.Sqrt(fourth / float64(len(out.DE)-out.Excluded)))
	out.Q = 100 / (1 + math.Pow(mean/3.16, 2.4))
	return out, nil
}

// ebuReference is the reference light for t: a black body up to 3400 K on the
// scale of EBU, daylight from 5000 K, and between them the two mixed evenly by
// temperature, each 1 at 560 nm.
func ebuReference(t colour.Kelvin) (spectra.Spectrum, error) {
	on := t * ebuScale
	switch {
	case on <= ebuBlack:
		return spectra.Blackbody(t)
	case on >= ebuDaylight:
		return spectra.DaylightSPD(t)
	}
	black, err := spectra.Blackbody(ebuBlack / ebuScale)
	if err != nil {
		return spectra.Spectrum{}, err
	}
	day, err := spectra.DaylightSPD(ebuDaylight)
	if err != nil {
		return spectra.Spectrum{}, err
	}
	share := float64((on - ebuBlack) / (ebuDaylight - ebuBlack))
	return black.Scale(1 - share).Add(day.Scale(share / 100)), nil
}

// ebuPatch is a patch on the screen; below says that a signal fell below 0.
type ebuPatch struct {
	lab   difference.Lab
	below bool
}

// ebuShoot takes a picture of the patches under s, with the camera balanced to
// it, and shows it on a screen.
func ebuShoot(b band, s *spectra.Spectrum) ([18]ebuPatch, error) {
	var lit responses
	b.light(&lit, s, camera())
	white := b.white(&lit)
	var out [18]ebuPatch
	if !(white[0] > 0 && white[1] > 0 && white[2] > 0) {
		return out, notWhite("TLCI", "a channel of the camera sees nothing of it, so it cannot be balanced")
	}
	for i := range out {
		signal := b.off(&lit, &patches()[i])
		for k := range signal {
			signal[k] *= ebuExposure / white[k]
		}
		out[i] = ebuShow(signal)
	}
	return out, nil
}

// ebuShow takes balanced signals through the camera to the screen.
func ebuShow(signal [3]float64) ebuPatch {
	var out ebuPatch
	var light [3]float64
	for i, row := range ebuMatrix {
		v := row[0]*signal[0] + row[1]*signal[1] + row[2]*signal[2]
		if v < 0 {
			out.below = true
			v = 0
		}
		light[i] = math.Pow(bt709(v), 2.4) // [BT.1886], black at 0
	}
	red, green, blue := bt709Primaries[0], bt709Primaries[1], bt709Primaries[2]
	c := red.Scale(light[0]).Add(green.Scale(light[1])).Add(blue.Scale(light[2]))
	out.lab = difference.LabOf(c, colour.D65.XYZ(1))
	return out
}

// bt709 is the camera's transfer curve of [BT.709].
func bt709(v float64) float64 {
	if v < 0.018 {
		return 4.5 * v
	}
	return 1.099*math.Pow(v, 0.45) - 0.099
}
