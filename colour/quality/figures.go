package quality

import (
	"linkboy/colour"
	"linkboy/colour/spectra"
)

// Figures is everything this package says about one spectrum. A figure that
// means nothing for it is nil, and Missing says why.
//
//	XY        chromaticity, 2-degree observer
//	Dominant  dominant wavelength and excitation purity against the
//	          equal-energy white, x = y = 1/3
//	Efficacy  luminous efficacy of radiation in lm/W, 0 to 683
type Figures struct {
	XY       colour.XY
	Dominant colour.Dominant
	Efficacy float64

	CCT  *colour.CCT
	CRI  *CRIResult
	TM30 *TM30Result
	SSI  *SSIResult
	TLCI *TLCIResult

	Missing []Missing
}

// Missing is a figure that could not be had.
type Missing struct {
	Figure string // "CCT", "CRI", "TM-30", "SSI" or "TLCI"
	Err    error
}

// Measure works out every figure of s, at 1 nm. It fails only when s is no
// spectrum: dark, or with a power that is negative or no number. Figures that
// a light has no use for, such as the colour rendering of a saturated blue,
// are left out and named in Missing.
func Measure(s spectra.Spectrum) (Figures, error) {
	p, err := prepare("spectrum", &s, Every1)
	if err != nil {
		return Figures{}, err
	}
	xy := p.XYZ().XY()
	f := Figures{
		XY:       xy,
		Dominant: xy.Dominant(colour.XY{X: 1.0 / 3, Y: 1.0 / 3}),
		Efficacy: p.Efficacy(),
	}
	// The spectral locus of package colour ends at 380 nm; light below lies a
	// hair outside of it.
	f.Dominant.Purity = min(f.Dominant.Purity, 1)
	keep(&f, "CCT", &f.CCT, func() (colour.CCT, error) { return xy.CCT() })
	keep(&f, "CRI", &f.CRI, func() (CRIResult, error) { return CRI(p) })
	keep(&f, "TM-30", &f.TM30, func() (TM30Result, error) { return TM30(p) })
	keep(&f, "SSI", &f.SSI, func() (SSIResult, error) { return SSIDefault(p) })
	keep(&f, "TLCI", &f.TLCI, func() (TLCIResult, error) { return TLCI(p) })
	return f, nil
}

// keep puts a figure where it belongs, or among the missing.
func keep[T any](f *Figures, name string, place **T, work func() (T, error)) {
	figure, err := work()
	if err != nil {
		f.Missing = append(f.Missing, Missing{name, err})
		return
	}
	*place = &figure
}
