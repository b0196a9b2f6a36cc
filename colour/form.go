package colour

// Level is a share of the most light a cell can give at a chromaticity, linear
// in light: 0 is dark, 1 is all it can.
type Level float64

// Kelvin is a colour temperature.
type Kelvin float64

// Mired is a reciprocal colour temperature, 1e6/K.
type Mired float64

// Duv is the signed distance from the Planckian locus in CIE 1960 uv,
// positive above it (towards green).
type Duv float64

// CCT is a white: its correlated colour temperature and its distance from the
// Planckian locus.
type CCT struct {
	T   Kelvin
	Duv Duv
}

// Form is a colour as a person names it. Chromaticity gives the point it
// means under the show's balance white; an impossible colour (outside the
// spectral locus, a temperature out of range, black) is an error that says
// why and how to mend it.
type Form interface {
	Chromaticity(balance XY) (XY, error)
	// String gives the form in show-file syntax, for example "{hue: 32, sat: 92%}".
	String() string
}

// The forms of colour that a show file knows.
type (
	// HueSat is hue in degrees and saturation 0..1 on the straight u'v' line
	// from the balance white to the edge of the Rec.2020 triangle.
	HueSat struct{ Hue, Sat float64 }
	// White is a CCT with a tint in Duv.
	White struct{ CCT }
	// Chroma is a CIE 1931 xy point.
	Chroma struct{ XY }
	// ChromaUV is a CIE 1976 u'v' point.
	ChromaUV struct{ UV }
	// Shift is a white shifted by so many mired from another.
	Shift struct {
		By   Mired
		From Kelvin
	}
	// Dominant is a dominant wavelength in nm (negative: the complementary
	// wavelength of a purple) and an excitation purity 0..1, against the balance white.
	Dominant struct{ NM, Purity float64 }
	// CSS is a CSS Color 4 colour; only its chromaticity counts.
	CSS struct{ Text string }
)
