package solid

import "math"

// Vec is a point or a direction, in metres.
type Vec struct{ X, Y, Z float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns k times a.
func (a Vec) Scale(k float64) Vec { return Vec{k * a.X, k * a.Y, k * a.Z} }

// Dot returns the inner product.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the outer product.
func (a Vec) Cross(b Vec) Vec {
	return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Length returns the length of a.
func (a Vec) Length() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns the direction of a with length 1; of the zero Vec, zero.
func (a Vec) Unit() Vec {
	l := a.Length()
	if l == 0 {
		return Vec{}
	}
	return a.Scale(1 / l)
}

// Lerp returns the point a share t of the way from a to b.
func (a Vec) Lerp(b Vec, t float64) Vec { return a.Add(b.Sub(a).Scale(t)) }

// IsFinite reports whether every coordinate is a number.
func (a Vec) IsFinite() bool {
	sum := a.X*0 + a.Y*0 + a.Z*0
	return sum == 0
}

// Frame returns two unit vectors square to the unit vector n and to each other,
// right-handed with it (T. Duff and others, Building an Orthonormal Basis,
// Revisited, JCGT 6 (2017) 1).
func (n Vec) Frame() (s, t Vec) {
	sign := math.Copysign(1, n.Z)
	a := -1 / (sign + n.Z)
	b := n.X * n.Y * a
	return Vec{1 + sign*n.X*n.X*a, sign * b, -sign * n.X}, Vec{b, sign + n.Y*n.Y*a, -n.Y}
}
