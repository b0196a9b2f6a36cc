package colour

import "math"

// Chroma is a CIE 1931 xy point.
type Chroma struct{ XY }

// Chromaticity returns the point itself; the balance serves only to say, of a
// point outside the spectral locus, which colour lies in that direction.
func (c Chroma) Chromaticity(balance XY) (XY, error) {
	if !c.Valid() {
		return XY{}, noLight(c, c.XY, balance)
	}
	return c.XY, nil
}

func (c Chroma) String() string { return "{xy: [" + number(c.X) + ", " + number(c.Y) + "]}" }

// ChromaUV is a CIE 1976 u'v' point.
type ChromaUV struct{ UV }

// Chromaticity returns the point in xy; the balance counts as in Chroma.
func (c ChromaUV) Chromaticity(balance XY) (XY, error) {
	// At and past this line u'v' has no xy: the projection runs to infinity.
	if !(6*c.U-16*c.V+12 > 0) || math.IsInf(c.U, 0) || math.IsInf(c.V, 0) {
		return XY{}, &Error{c.String(), "no light has a u'v' so far out", "give a u' of 0 to 0.62 and a v' of 0.02 to 0.59"}
	}
	p := c.XY()
	if !p.Valid() {
		return XY{}, noLight(c, p, balance)
	}
	return p, nil
}

func (c ChromaUV) String() string { return "{uv: [" + number(c.U) + ", " + number(c.V) + "]}" }
