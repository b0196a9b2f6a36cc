package difference_test

import (
	"fmt"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// A red surface, from the tests of the colour-science library.
var red = colour.XYZ{X: 0.20654008, Y: 0.12197225, Z: 0.05136952}

func ExampleLabOf() {
	p := difference.LabOf(red, colour.D65.XYZ(1))
	fmt.Printf("L* %.4f, a* %.4f, b* %.4f\n", p.L, p.A, p.B)
	// Output: L* 41.5279, a* 52.6386, b* 26.9232
}

func ExampleLab_XYZ() {
	c := difference.Lab{L: 41.52787529, A: 52.63858304, B: 26.92317922}.XYZ(colour.D65.XYZ(1))
	fmt.Printf("%.4f %.4f %.4f\n", c.X, c.Y, c.Z)
	// Output: 0.2065 0.1220 0.0514
}

// Chroma and hue are the same colour in polar form.
func ExampleLab_Hue() {
	p := difference.LabOf(red, colour.D65.XYZ(1))
	fmt.Printf("chroma %.1f, hue %.1f degrees\n", p.Chroma(), p.Hue())
	// Output: chroma 59.1, hue 27.1 degrees
}

func ExampleLuvOf() {
	p := difference.LuvOf(red, colour.D65.XYZ(1))
	fmt.Printf("L* %.4f, u* %.4f, v* %.4f\n", p.L, p.U, p.V)
	// Output: L* 41.5279, u* 96.8363, v* 17.7521
}

func ExampleLuv_XYZ() {
	c := difference.Luv{L: 41.52787529, U: 96.83626054, V: 17.75210149}.XYZ(colour.D65.XYZ(1))
	fmt.Printf("%.4f %.4f %.4f\n", c.X, c.Y, c.Z)
	// Output: 0.2065 0.1220 0.0514
}

// Pair 1 of Sharma, Wu, Dalal 2005, printed 2.0425; the plain distance of 1976
// beside it.
func ExampleDE2000() {
	a := difference.Lab{L: 50, A: 2.6772, B: -79.7751}
	b := difference.Lab{L: 50, A: 0, B: -82.7485}
	fmt.Printf("CIEDE2000 %.4f, CIE 1976 %.4f\n", difference.DE2000(a, b), a.Distance(b))
	// Output: CIEDE2000 2.0425, CIE 1976 4.0011
}

// The worked case of Li et al. 2017: J 41.7312, M 0.1074, h 217.0680.
func ExampleEye_See() {
	eye, err := difference.NewEye(difference.Viewing{
		White:      colour.XYZ{X: 95.05, Y: 100, Z: 108.88},
		Adapting:   318.31,
		Background: 0.2,
		Surround:   difference.Average,
	})
	seen := eye.See(colour.XYZ{X: 19.01, Y: 20, Z: 21.78})
	fmt.Printf("J %.4f, M %.4f, h %.4f, H %.4f, %v\n", seen.J, seen.M, seen.H, difference.HueQuadrature(seen.H), err)
	// Output: J 41.7312, M 0.1074, h 217.0680, H 275.5950, <nil>
}

// And back.
func ExampleEye_XYZ() {
	eye, _ := difference.NewEye(difference.Viewing{
		White:      colour.XYZ{X: 95.05, Y: 100, Z: 108.88},
		Adapting:   318.31,
		Background: 0.2,
		Surround:   difference.Average,
	})
	c := eye.XYZ(difference.CAM16{J: 41.73120791, M: 0.10743677, H: 217.06795977})
	fmt.Printf("%.2f %.2f %.2f\n", c.X, c.Y, c.Z)
	// Output: 19.01 20.00 21.78
}

// A mistake in the conditions is told, not guessed round.
func ExampleNewEye() {
	_, err := difference.NewEye(difference.Viewing{White: colour.D65.XYZ(1), Adapting: 64, Background: 20, Surround: difference.Average})
	fmt.Println(err)
	// Output: viewing conditions: the background is 20 of the white; give a share above 0 and at most 1; 0.2 is the usual grey
}

// The same case in the uniform space: J' 54.9045, a' -0.0856, b' -0.0647 by the
// colour-science library.
func ExampleCAM16_UCS() {
	p := difference.CAM16{J: 41.73120791, M: 0.10743677, H: 217.06795977}.UCS()
	fmt.Printf("J' %.4f, a' %.4f, b' %.4f\n", p.J, p.A, p.B)
	// Output: J' 54.9045, a' -0.0856, b' -0.0647
}

// Two greys of the case above, a step of lightness apart, under a film set's
// 1000 lx.
func ExampleUCSDistance() {
	white := colour.XYZ{X: 95.05, Y: 100, Z: 108.88}
	eye, _ := difference.NewEye(difference.Viewing{White: white, Adapting: 64, Background: 0.2, Surround: difference.Average})
	a, b := eye.See(white.Scale(0.20)).UCS(), eye.See(white.Scale(0.21)).UCS()
	fmt.Printf("%.2f\n", difference.UCSDistance(a, b))
	// Output: 1.14
}
