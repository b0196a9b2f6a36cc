package colour

// Level is a share of the most light a cell can give at a chromaticity, linear
// in light: 0 is dark, 1 is all it can.
type Level float64

// Kelvin is a colour temperature.
type Kelvin float64

// Mired is a reciprocal colour temperature, 1e6/K. Equal steps of it look
// about equal.
type Mired float64

// Duv is the signed distance from the Planckian locus in CIE 1960 uv,
// positive above it (towards green).
type Duv float64

// Mired returns t as a reciprocal temperature.
func (t Kelvin) Mired() Mired { return Mired(1e6 / float64(t)) }

// Kelvin returns m as a temperature.
func (m Mired) Kelvin() Kelvin { return Kelvin(1e6 / float64(m)) }
