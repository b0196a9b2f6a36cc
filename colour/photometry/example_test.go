package photometry_test

import (
	"fmt"
	"math"

	"linkboy/colour/photometry"
)

// A worked set-up, computed independently: a key of 8000 cd at 2.9 m, the face at 1.6 m,
// 5.5 m away; and a 1.15 m strip of 1600 lm as fill, 2 m away.
func Example() {
	d, _ := photometry.Throw(5.5, 2.9, 1.6)
	key := photometry.InverseSquare(8000, 1, d)
	fmt.Printf("throw %.3f m, key at full %.1f lx, for 120 lx %.3f of it\n", d, key, 120/key)

	strip, err := photometry.NewStrip(1600, 1.15)
	if err != nil {
		fmt.Println(err)
		return
	}
	fill := strip.Facing(2, 0)
	fmt.Printf("fill at full %.1f lx, for 40 lx %.3f of it\n", fill, 40/fill)
	// Output:
	// throw 5.652 m, key at full 250.5 lx, for 120 lx 0.479 of it
	// fill at full 120.8 lx, for 40 lx 0.331 of it
}

// The inverse square is for what is small: a tube at its own length is not.
func ExampleInverseSquare() {
	strip, _ := photometry.NewStrip(1867, 1.15)
	for _, d := range []float64{0.25, 1, 3} {
		fmt.Printf("%.2f m: %.0f lx, as a point %.0f lx\n", d, strip.Facing(d, 0), photometry.InverseSquare(strip.Candela(), 1, d))
	}
	fmt.Printf("10 000 cd at 3.132 m: %.0f lx\n", photometry.InverseSquare(10000, 1, 3.132))
	// Output:
	// 0.25 m: 3155 lx, as a point 9509 lx
	// 1.00 m: 493 lx, as a point 594 lx
	// 3.00 m: 64 lx, as a point 66 lx
	// 10 000 cd at 3.132 m: 1019 lx
}

func ExampleFalloffStops() {
	fmt.Printf("%.2f %.2f\n", photometry.FalloffStops(1, 2), photometry.FalloffStops(2, 2.5))
	// Output: -2.00 -0.64
}

func ExampleCandelaFor() {
	fmt.Printf("%.0f cd\n", photometry.CandelaFor(120, 1, 5.652))
	// Output: 3833 cd
}

func ExampleThrow() {
	d, elevation := photometry.Throw(3, 2.5, 1.6)
	fmt.Printf("%.3f m, %.1f degrees up\n", d, elevation)
	// Output: 3.132 m, 16.7 degrees up
}

// The operator at 2 m, with a lamp behind at 2.5 m: the face is clear.
func ExampleShadowTop() {
	fmt.Printf("%.2f m\n", photometry.ShadowTop(2.5, 1.8, 2, 3))
	// Output: 1.45 m
}

func ExampleNewBeam() {
	b, err := photometry.NewBeam(1000, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cos^%.1f, %.0f cd, field %.1f degrees\n", b.Exponent(), b.Peak, b.FieldAngle())
	fmt.Printf("as a uniform cone %.0f cd\n", photometry.UniformCone(1000, 25))
	// Output:
	// cos^28.9, 4758 cd, field 45.1 degrees
	// as a uniform cone 6714 cd
}

// A projecting spot has a hard edge, a fresnel lens a wide skirt: the same
// lumens and beam angle, another field angle, other candela.
func ExampleNewBeamField() {
	for _, field := range []photometry.Degrees{28, 45.1, 70} {
		b, err := photometry.NewBeamField(1000, 25, field)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("field %.1f: %.0f cd, %.0f lm\n", field, b.Peak, b.Lumens())
	}
	_, err := photometry.NewBeamField(1000, 40, 25)
	fmt.Println(err)
	// Output:
	// field 28.0: 6803 cd, 1000 lm
	// field 45.1: 4763 cd, 1000 lm
	// field 70.0: 2476 cd, 1000 lm
	// a field angle of 25 degrees at a beam angle of 40: the light falls to 10 % farther out than to 50 %, and in front of the lamp; give full angles, the field wider than the beam and under 180 degrees
}

// A floor under a tube that stands upright on it: the floor looks along it.
func ExampleLine_On() {
	tube, _ := photometry.NewTube(1600, 1.15)
	middle := -1.15 / 2 // the floor is at the tube's lower end
	fmt.Printf("%.0f lx on the floor at 1 m, %.0f lx toward the tube\n", tube.On(1, middle, 0, 1), tube.Facing(1, middle))
	// Output: 40 lx on the floor at 1 m, 95 lx toward the tube
}

// A panel as the usual disc of its area, and exactly.
func ExamplePanel_Facing() {
	p, _ := photometry.NewPanel(10000, 0.3, 0.6)
	for _, d := range []float64{0.5, 1, 2} {
		fmt.Printf("%.1f m: %.0f lx, as a disc %.0f lx\n", d, p.Facing(d, 0, 0), p.Disc().Facing(d))
	}
	// Output:
	// 0.5 m: 9883 lx, as a disc 10358 lx
	// 1.0 m: 2963 lx, as a disc 3011 lx
	// 2.0 m: 781 lx, as a disc 785 lx
}

func ExampleFlatLuminance() {
	fmt.Printf("%.0f cd/m2 as a strip, %.0f all round\n", photometry.FlatLuminance(1600, 0.04*1.15), photometry.CylinderLuminance(1600, 0.04, 1.15))
	// Output: 11072 cd/m2 as a strip, 3524 all round
}

func ExampleReflected() {
	fmt.Printf("%.1f cd/m2\n", photometry.Reflected(1000, photometry.MiddleGrey))
	// Output: 57.3 cd/m2
}

// A tube that lights a face and a tube that the lens sees need other levels.
func ExampleLuminance_StopsOverGrey() {
	tube := photometry.FlatLuminance(1600, 0.04*1.15)
	fmt.Printf("%.1f stops over grey under 120 lx\n", tube.StopsOverGrey(120))
	fmt.Printf("6 stops over at %.0f %%\n", 100*photometry.OverGrey(6, 120)/tube)
	// Output:
	// 10.7 stops over grey under 120 lx
	// 6 stops over at 4 %
}

// A spot of 15 degrees behind a frost that widens by 20.
func ExampleDiffusion_Beam() {
	spot, _ := photometry.NewBeam(1000, 15)
	frosted, err := photometry.Diffusion{Factor: 0.8, Widening: 20}.Beam(spot)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f cd in %.0f degrees, then %.0f cd in %.0f\n", spot.Peak, spot.BeamAngle(), frosted.Peak, frosted.BeamAngle())
	// Output: 12999 cd in 15 degrees, then 3806 cd in 25
}

// A unit square from over its corner at unit height: the catalogue's factor.
func ExamplePanel() {
	p := photometry.Panel{Luminance: 1, Width: 1, Height: 1}
	fmt.Printf("parallel %.4f, square to it %.4f\n", p.Facing(1, -0.5, -0.5)/math.Pi, p.Side(1, -0.5, -0.5)/math.Pi)
	// Output: parallel 0.1385, square to it 0.0557
}

// A softbox as wide as it is far away, on its axis and half a metre beside it.
func ExampleDisc_Beside() {
	s := photometry.Disc{Luminance: 1000, Radius: 0.5}
	fmt.Printf("%.0f lx on the axis, %.0f lx beside it\n", s.Facing(1), s.Beside(1, 0.5))
	// Output: 628 lx on the axis, 460 lx beside it
}

// The handbook's tube, Φ = π² I, and what it tends to close by: π I'/(2d).
func ExampleNewTube() {
	tube, err := photometry.NewTube(1600, 1.15)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f cd; at 1 cm %.0f lx, as an endless line %.0f lx\n", tube.Candela(), tube.Facing(0.01, 0), math.Pi*tube.PerMetre/(2*0.01))
	// Output: 162 cd; at 1 cm 22143 lx, as an endless line 22143 lx
}

// Half at half the beam angle, a tenth at half the field angle.
func ExampleBeam_At() {
	b, _ := photometry.NewBeam(1000, 25)
	for _, a := range []photometry.Degrees{0, 12.5, 22.55} {
		fmt.Printf("%.2f ", b.At(a.Cos())/b.Peak)
	}
	fmt.Println()
	// Output: 1.00 0.50 0.10
}

func ExampleUniformCone() {
	fmt.Printf("%.0f cd\n", photometry.UniformCone(1000, 15))
	// Output: 18603 cd
}

func ExampleLux_FootCandles() {
	fmt.Printf("%.2f fc\n", photometry.Lux(120).FootCandles())
	// Output: 11.15 fc
}
