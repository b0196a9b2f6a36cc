package emitters_test

import (
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/spectra"
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

// A cell of red, green, blue, warm and cool white has many mixes of daylight's
// chromaticity. Truest takes the one whose spectrum is nearest to daylight's; level 1 leaves no
// choice. The emitters are Ohno (2005) LED shapes with invented lumens.
func ExampleTruest_Solve() {
	mix := func(a spectra.Spectrum, share float64, b spectra.Spectrum) spectra.Spectrum {
		return a.Scale(share / a.Power()).Add(b.Scale((1 - share) / b.Power()))
	}
	lumens := []float64{320, 740, 72, 860, 960}
	var list []emitters.Emitter
	var features [][]float64
	for i, shape := range []spectra.Spectrum{
		spectra.Ohno(630, 18), spectra.Ohno(525, 33), spectra.Ohno(465, 23),
		mix(spectra.Ohno(450, 36), 0.06, spectra.Ohno(597, 120)),
		mix(spectra.Ohno(450, 26), 0.227, spectra.Ohno(564, 140)),
	} {
		shape = shape.Scale(lumens[i] / shape.XYZ().Y)
		list = append(list, emitters.Emitter{Full: shape.XYZ()})
		features = append(features, shape[:])
	}
	daylight, err := spectra.DaylightSPD(5600)
	if err != nil {
		fmt.Println(err)
		return
	}
	daylight = daylight.Scale(1 / daylight.XYZ().Y) // one lumen
	cell, err := emitters.NewCell(list)
	if err != nil {
		fmt.Println(err)
		return
	}
	gram, pull := emitters.GramOf(features), emitters.PullOf(features, daylight[:])
	truest, err := emitters.NewTruest(cell, &gram)
	if err != nil {
		fmt.Println(err)
		return
	}
	white := daylight.XYZ().XY()
	off := func(s emitters.Solution) float64 { // of the reference, root mean square
		rest := daylight.Scale(-s.Lumens)
		for i, f := range features {
			for nm, v := range f {
				rest[nm] += s.Drives[i] * v
			}
		}
		left, all := 0.0, 0.0
		for nm, v := range rest {
			left += v * v
			all += s.Lumens * s.Lumens * daylight[nm] * daylight[nm]
		}
		return math.Sqrt(left / all)
	}
	for _, level := range []colour.Level{0.25, 0.75, 1} {
		bright, near := cell.Solve(white, level, white), truest.Solve(white, level, white, &pull)
		fmt.Printf("%.0f %%: brightest %.2f, off by %2.0f %%; truest %.2f, off by %2.0f %%\n",
			100*level, bright.Drives[:5], 100*off(bright), near.Drives[:5], 100*off(near))
	}
	// Output:
	// 25 %: brightest [0.14 0.24 0.25 0.25 0.25], off by 59 %; truest [0.01 0.12 0.14 0.28 0.37], off by 54 %
	// 75 %: brightest [0.43 0.73 0.75 0.75 0.75], off by 59 %; truest [0.02 0.39 0.51 0.94 1.00], off by 54 %
	// 100 %: brightest [0.58 0.97 1.00 1.00 1.00], off by 59 %; truest [0.58 0.97 1.00 1.00 1.00], off by 59 %
}

// Two lamps that reach different colours agree on the first one towards the white, and on
// the light of the weaker.
func ExampleGroup_Match() {
	at := func(u, v, lumens float64) emitters.Emitter {
		return emitters.Emitter{Full: colour.UV{U: u, V: v}.XY().XYZ(lumens)}
	}
	wide, err := emitters.NewCell([]emitters.Emitter{at(0.53, 0.52, 200), at(0.06, 0.57, 450), at(0.17, 0.10, 60)})
	if err != nil {
		fmt.Println(err)
		return
	}
	whites, err := emitters.NewCell([]emitters.Emitter{at(0.26, 0.53, 5000), at(0.18, 0.45, 6000), at(0.20, 0.50, 4000)})
	if err != nil {
		fmt.Println(err)
		return
	}
	group, err := emitters.NewGroup([]*emitters.Cell{wide, whites})
	if err != nil {
		fmt.Println(err)
		return
	}
	white, red := colour.XY{X: 0.3127, Y: 0.3290}, colour.UV{U: 0.45, V: 0.52}.XY()
	parts := make([]emitters.Part, 2)
	m, err := group.Match(red, 1, white, emitters.EqualLight, parts)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f lm each, %.3f from red in u'v'\n", m.Lumens, m.DeltaUV)
	for _, p := range parts {
		fmt.Printf("level %.2f, %.3f from its own best, %+.1f stops\n", p.Level, p.DeltaUV, -p.Stops)
	}
	// Output:
	// 660 lm each, 0.257 from red in u'v'
	// level 1.00, 0.257 from its own best, +1.4 stops
	// level 0.08, 0.000 from its own best, -3.6 stops
}
