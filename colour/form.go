package colour

// Form is a colour as a person names it. Chromaticity gives the point it
// means under the show's balance white; an impossible colour (outside the
// spectral locus, a temperature out of range, black) is an *Error that says
// why and how to mend it.
type Form interface {
	Chromaticity(balance XY) (XY, error)
	// String gives the form in show-file syntax, for example "{hue: 32, sat: 92%}".
	String() string
}

var (
	_ Form = HueSat{}
	_ Form = White{}
	_ Form = Chroma{}
	_ Form = ChromaUV{}
	_ Form = Shift{}
	_ Form = Dominant{}
	_ Form = CSS{}
)
