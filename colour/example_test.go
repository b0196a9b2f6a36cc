package colour_test

import (
	"errors"
	"fmt"

	"linkboy/colour"
)

func ExamplePlanckian() {
	p, err := colour.Planckian(3200)
	fmt.Printf("%.4f %.4f %v\n", p.X, p.Y, err)
	// Output: 0.4234 0.3990 <nil>
}

func ExampleXY_CCT() {
	c, err := colour.D65.CCT()
	fmt.Printf("%.1f K, Duv %+.4f, %v\n", c.T, c.Duv, err)
	// Output: 6504.3 K, Duv +0.0032, <nil>
}

func ExampleCCT_XY() {
	p, err := colour.CCT{T: 5600, Duv: 0.005}.XY() // a little green
	fmt.Printf("%.4f %.4f %v\n", p.X, p.Y, err)
	// Output: 0.3301 0.3489 <nil>
}

func ExampleHueSat() {
	balance, _ := colour.Planckian(4300)
	for _, sat := range []float64{0, 0.5, 1} {
		p, err := colour.HueSat{Hue: 120, Sat: sat}.Chromaticity(balance)
		fmt.Printf("%.4f %.4f %v\n", p.X, p.Y, err)
	}
	// Output:
	// 0.3681 0.3687 <nil>
	// 0.2981 0.5202 <nil>
	// 0.1700 0.7970 <nil>
}

func ExampleShift() {
	warmer := colour.Shift{By: +131, From: 5600}
	p, _ := warmer.Chromaticity(colour.XY{})
	c, _ := p.CCT()
	fmt.Printf("%s is %.0f K\n", warmer, c.T)
	// Output: {shift: +131 mired, from: 5600 K} is 3230 K
}

func ExampleXY_Dominant() {
	green := colour.XY{X: 0.30, Y: 0.60} // of Rec.709
	d := green.Dominant(colour.D65)
	fmt.Printf("%.1f nm, purity %.2f\n", d.NM, d.Purity)
	// Output: 549.1 nm, purity 0.73
}

func ExampleParseCSS() {
	c, err := colour.ParseCSS("oklch(70% 0.2 150)")
	p := c.XY()
	fmt.Printf("%.4f %.4f %v\n", p.X, p.Y, err)
	// Output: 0.2739 0.5222 <nil>
}

func ExampleError() {
	_, err := colour.ParseCSS("#12345")
	var e *colour.Error
	if errors.As(err, &e) {
		fmt.Println(e.What)
		fmt.Println(e.Why)
		fmt.Println(e.Mend)
	}
	// Output:
	// CSS colour "#12345"
	// # is followed by "12345", not by 3, 4, 6 or 8 hexadecimal digits
	// write it like "#0a8" or "#00aa88"
}

func ExampleXYZ_OKLab() {
	c, _ := colour.ParseCSS("rebeccapurple")
	o := c.OKLab()
	fmt.Printf("%.3f %.3f %.3f\n", o.L, o.A, o.B)
	// Output: 0.440 0.088 -0.134
}

func ExampleXY_Valid() {
	fmt.Println(colour.D65.Valid(), colour.XY{X: 0.9, Y: 0.3}.Valid())
	// Output: true false
}
