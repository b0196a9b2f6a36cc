package transport

import "math"

// Optics is the beam of a lamp with optics in the three numbers of the Beam of
// colour/photometry, which says where they come from:
//
//	I(θ) = Peak·2^-(x^Shape),  x = Power·log2(1/cos θ)
//
// Peak is in candela for a lumen. What is made of other numbers gives more or
// less light than a lumen.
type Optics struct{ Peak, Power, Shape float64 }

// PerLumen is as [Beam] says.
func (o Optics) PerLumen(cos float64) float64 {
	if cos >= 1 || o.Power == 0 { // rounding may put a cosine over 1
		return o.Peak
	}
	x := -math.Log(cos) * o.Power
	if o.Shape != 1 {
		x = math.Ln2 * math.Exp(o.Shape*math.Log(x/math.Ln2))
	}
	return o.Peak * math.Exp(-x)
}

// valid reports whether the numbers are those of a beam.
func (o Optics) valid() bool {
	return o.Peak >= 0 && !math.IsInf(o.Peak, 1) && o.Power >= 0 && !math.IsInf(o.Power, 1) && o.Shape > 0 && !math.IsInf(o.Shape, 1)
}
