package colour

import (
	"fmt"
	"math"
)

// White is a white by temperature and tint: "5600 K" lies on the Planckian
// locus, tint is the Duv above (greener) or below (pinker) it.
type White struct{ CCT }

// Chromaticity returns the point that w means; the balance does not count.
func (w White) Chromaticity(balance XY) (XY, error) {
	p, err := w.XY()
	if err != nil {
		return XY{}, err
	}
	if p.Valid() {
		return p, nil
	}
	return XY{}, &Error{w.String(), "at so low a temperature the spectral locus is less than this tint away: no light has the colour", "write a tint nearer to 0"}
}

func (w White) String() string {
	if w.Duv == 0 {
		return number(float64(w.T)) + " K"
	}
	return "{cct: " + number(float64(w.T)) + " K, tint: " + number(float64(w.Duv)) + "}"
}

// Shift is a white on the Planckian locus so many mired away from another,
// as a correction filter shifts a lamp: positive is warmer.
type Shift struct {
	By   Mired
	From Kelvin
}

// Chromaticity returns the point that s means; the balance does not count.
func (s Shift) Chromaticity(balance XY) (XY, error) {
	if err := checkKelvin(s.From); err != nil {
		e := err.(*Error)
		return XY{}, &Error{s.String(), e.Why, "give the white to shift, such as from: 5600 K"}
	}
	m := s.From.Mired() + s.By
	if !(m >= minMired && m <= maxMired) {
		return XY{}, &Error{
			What: s.String(),
			Why:  "that is no temperature of 1000 K to 1000000 K",
			Mend: fmt.Sprintf("from %s K write a shift of %+.0f to %+.0f mired", number(float64(s.From)),
				math.Ceil(float64(minMired-s.From.Mired())), math.Floor(float64(maxMired-s.From.Mired()))),
		}
	}
	return Planckian(m.Kelvin())
}

func (s Shift) String() string {
	sign := ""
	if s.By >= 0 {
		sign = "+"
	}
	return "{shift: " + sign + number(float64(s.By)) + " mired, from: " + number(float64(s.From)) + " K}"
}
