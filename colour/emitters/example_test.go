package emitters_test

import (
	"fmt"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// A red, a green and a blue emitter make a white, and go as far as they can toward a
// green they do not have. The emitters are Ohno (2005) LED shapes with peaks at 630, 525
// and 455 nm, at unit peak power.
func ExampleCell_Solve() {
	cell, err := emitters.NewCell([]emitters.Emitter{
		{Name: "red", Full: colour.XYZ{X: 14.436431, Y: 6.229502, Z: 0.002233}},
		{Name: "green", Full: colour.XYZ{X: 6.716476, Y: 28.446422, Z: 4.536969}},
		{Name: "blue", Full: colour.XYZ{X: 7.114239, Y: 1.343214, Z: 39.353281}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	d65 := colour.XY{X: 0.3127, Y: 0.3290}
	s := cell.Solve(d65, 0.5, d65)
	fmt.Printf("D65 at 50 %%: %.4f, %.1f of %.1f lm\n", s.Drives[:3], s.Lumens, s.Most)

	green := colour.XY{X: 0.170, Y: 0.797} // Rec.2020 green
	s = cell.Solve(green, 1, d65)
	fmt.Printf("Rec.2020 green: %.4f, off by %.4f in u'v'\n", s.Drives[:3], s.DeltaUV)
	// Output:
	// D65 at 50 %: [0.5000 0.2942 0.2948], 11.9 of 23.8 lm
	// Rec.2020 green: [0.1290 1.0000 0.0000], off by 0.0245 in u'v'
}
