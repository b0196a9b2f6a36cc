package emitters

import (
	"math"

	"linkboy/colour"
)

// vector is a point of XYZ space, or a normal to a plane of it.
type vector [3]float64

func vectorOf(c colour.XYZ) vector { return vector{c.X, c.Y, c.Z} }

func (a vector) xyz() colour.XYZ { return colour.XYZ{X: a[0], Y: a[1], Z: a[2]} }

func (a vector) add(b vector) vector { return vector{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func (a vector) sub(b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a vector) scale(k float64) vector { return vector{a[0] * k, a[1] * k, a[2] * k} }

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// cross returns the cross product, each component to its last digit even where a and b are
// nearly parallel.
func (a vector) cross(b vector) vector {
	return vector{
		difference(a[1], b[2], a[2], b[1]),
		difference(a[2], b[0], a[0], b[2]),
		difference(a[0], b[1], a[1], b[0]),
	}
}

// difference returns a*b - c*d with what the rounding of c*d drops put back (Kahan's
// method; Jeannerod, Louvet and Muller, Math. Comp. 82 (2013) 2245, bound it by 1.5 ulp).
func difference(a, b, c, d float64) float64 {
	cd := c * d
	dropped := math.FMA(-c, d, cd)
	return math.FMA(a, b, -cd) + dropped
}

func (a vector) length() float64 { return math.Sqrt(a.dot(a)) }

func (a vector) unit() vector { return a.scale(1 / a.length()) }
