package colour

import "math"

// HueSat is a colour by hue in degrees and saturation 0 to 1.
//
// Saturation runs on the straight line in CIE 1976 u'v' from the balance white
// (0) to the edge of the Rec.2020 triangle (1), to the colour of that hue in
// the HSV of linear-light Rec.2020 at full saturation. So 0, 120 and 240 are
// the red, green and blue of Rec.2020 [BT.2020] under every white, and a hue
// is the same colour on every lamp. Hue wraps: 370 is 10.
type HueSat struct{ Hue, Sat float64 }

// Chromaticity returns the point that h means under the balance white.
func (h HueSat) Chromaticity(balance XY) (XY, error) {
	if math.IsNaN(h.Hue) || math.IsInf(h.Hue, 0) {
		return XY{}, &Error{h.String(), "the hue is no number", "write a hue of 0 to 360 degrees"}
	}
	if !(h.Sat >= 0 && h.Sat <= 1) {
		e := &Error{h.String(), "saturation runs from 0% (the balance white) to 100% (the edge of the Rec.2020 triangle)", "write a sat of 0% to 100%"}
		if h.Sat > 1 && h.Sat <= 100 {
			e.Mend += "; " + number(h.Sat) + "% is perhaps meant"
		}
		return XY{}, e
	}
	if !balance.Valid() {
		return XY{}, noBalance(h)
	}
	edge := xyzOf(rec2020Linear.apply(pureHue(h.Hue))).XY()
	return balance.UV().Lerp(edge.UV(), h.Sat).XY(), nil
}

func (h HueSat) String() string {
	return "{hue: " + number(h.Hue) + ", sat: " + percent(h.Sat) + "}"
}

// pureHue returns the RGB of HSV at full saturation and value.
func pureHue(deg float64) [3]float64 {
	sector := math.Mod(deg, 360) / 60
	if sector < 0 {
		sector += 6
	}
	// Each component is a plateau two sectors wide, a slope on each side of it
	// and zero elsewhere; red's is centred on 0, green's on 2, blue's on 4.
	var rgb [3]float64
	for i := range rgb {
		away := math.Abs(sector - float64(2*i))
		away = min(away, 6-away)
		rgb[i] = min(max(2-away, 0), 1)
	}
	return rgb
}

// noBalance says that a form depends on the balance white and there is none.
func noBalance(form Form) error {
	return &Error{form.String(), "it is measured from the balance white, and the balance here is no white", "give the camera a balance, such as balance: 5600 K"}
}
