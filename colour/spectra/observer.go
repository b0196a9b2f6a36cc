package spectra

import (
	"fmt"
	"strconv"

	"linkboy/colour"
)

// Observer is one of the two standard colorimetric observers of the CIE. The
// zero value is the 2-degree observer, in which all of linkboy speaks unless a
// name says otherwise.
//
//	           field of view    for                              source
//	CIE1931    2 degrees        faces, lamps, what a lens frames  [CIE 11664-1]
//	CIE1964    10 degrees       walls of light, a lit backdrop    [CIE 11664-1]
//
// Tristimulus values and chromaticities of one observer say nothing in the
// other: compare only what the same observer saw. The Planckian locus, CCT and
// Duv of package colour are those of the 2-degree observer.
type Observer uint8

// The observers.
const (
	CIE1931 Observer = iota
	CIE1964
)

// lumensPerWatt10 is the greatest luminous efficacy of radiation for the
// 10-degree observer, Km,10. The candela fixes 683 lm/W at 540 THz (555.016 nm)
// for either observer, and ȳ₁₀ is 0.9991 there [CIE 15].
const lumensPerWatt10 = 683.6

// Functions returns the colour-matching functions x̄, ȳ, z̄ of o from FirstNM
// to LastNM in steps of 1 nm [CIE 11664-1]. The table is shared by all callers
// and must not be written to.
func (o Observer) Functions() *[Samples][3]float64 {
	if o == CIE1964 {
		return observer1964()
	}
	return colour.Observer1931()
}

// LumensPerWatt returns the greatest luminous efficacy of radiation for o:
// 683 lm/W, and 683.6 lm/W for CIE1964 [CIE 15].
func (o Observer) LumensPerWatt() float64 {
	if o == CIE1964 {
		return lumensPerWatt10
	}
	return lumensPerWatt
}

// XYZ returns s as observer o sees it: LumensPerWatt times the sum of power
// and colour-matching functions at 1 nm [CIE 15, 7.1]. For CIE1931 it is
// s.XYZ().
func (o Observer) XYZ(s Spectrum) colour.XYZ {
	var sum colour.XYZ
	for i, cmf := range o.Functions() {
		sum.X += s[i] * cmf[0]
		sum.Y += s[i] * cmf[1]
		sum.Z += s[i] * cmf[2]
	}
	return sum.Scale(o.LumensPerWatt())
}

// String returns the name that ObserverByName reads: "2 deg" or "10 deg".
func (o Observer) String() string {
	switch o {
	case CIE1931:
		return "2 deg"
	case CIE1964:
		return "10 deg"
	}
	return "observer " + strconv.Itoa(int(o))
}

// ObserverByName returns the observer of that name.
func ObserverByName(name string) (Observer, error) {
	for _, o := range []Observer{CIE1931, CIE1964} {
		if o.String() == name {
			return o, nil
		}
	}
	return 0, &colour.Error{
		What: fmt.Sprintf("observer %q", name),
		Why:  "there is no standard observer of that name",
		Mend: `write "2 deg" or "10 deg"`,
	}
}
