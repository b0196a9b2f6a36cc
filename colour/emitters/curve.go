package emitters

import (
	"fmt"
	"math"
	"strings"
)

// Curve is a dimmer curve: the law from a channel's control value to light, both
// 0..1 and rising from 0 to 1. Control is the inverse of Light. Values outside
// 0..1 are held to it, NaN counts as 0.
type Curve interface {
	Light(control float64) float64
	Control(light float64) float64
}

// The names of the dimmer curves, as a lamp type's file writes them.
const (
	LinearName  = "linear"
	SquareName  = "square"
	Gamma22Name = "gamma 2.2"
	SName       = "s"
)

// CurveNames lists the names that CurveByName knows.
func CurveNames() []string { return []string{LinearName, SquareName, Gamma22Name, SName} }

// CurveByName returns the curve of a name; the empty name is linear. It also
// knows the names that Through makes.
//
//	linear     light = control
//	square     light = control^2
//	gamma 2.2  light = control^2.2
//	s          light = 3 control^2 - 2 control^3
func CurveByName(name string) (Curve, error) {
	switch name {
	case LinearName, "":
		return linear{}, nil
	case SquareName:
		return square{}, nil
	case Gamma22Name:
		return gamma22{}, nil
	case SName:
		return sCurve{}, nil
	}
	if strings.Contains(name, through) {
		return throughByName(name)
	}
	return nil, fmt.Errorf("unknown dimmer curve %q: known are %q", name, CurveNames())
}

type linear struct{}

func (linear) Light(control float64) float64 { return share(control) }
func (linear) Control(light float64) float64 { return share(light) }

type square struct{}

func (square) Light(control float64) float64 { x := share(control); return x * x }
func (square) Control(light float64) float64 { return math.Sqrt(share(light)) }

type gamma22 struct{}

func (gamma22) Light(control float64) float64 { return math.Pow(share(control), 2.2) }
func (gamma22) Control(light float64) float64 { return math.Pow(share(light), 1/2.2) }

type sCurve struct{}

func (sCurve) Light(control float64) float64 {
	x := share(control)
	return x * x * (3 - 2*x)
}

// Control is the middle root of the cubic, by the triple angle of the sine. Towards
// 1 the curve is mirrored, so that both ends come out exact.
func (sCurve) Control(light float64) float64 {
	y := share(light)
	if y > 0.5 {
		return 1 - lowerS(1-y)
	}
	return lowerS(y)
}

// lowerS solves 3x^2 - 2x^3 = y for y in 0..0.5. The sine's form loses its digits
// near 0, where the square alone is a good start; Newton steps mend either.
func lowerS(y float64) float64 {
	if y == 0 {
		return 0
	}
	x := math.Sqrt(y / 3)
	if y > 1e-6 {
		x = 0.5 - math.Sin(math.Asin(1-2*y)/3)
	}
	for range 2 {
		x -= (x*x*(3-2*x) - y) / (6 * x * (1 - x))
	}
	return x
}

// share holds x to 0..1; NaN is 0.
func share(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, 1)
}
