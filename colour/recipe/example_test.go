package recipe_test

import (
	"fmt"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/lamp"
	"linkboy/colour/quality"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

// panelOfSix is an invented lamp of LED shapes after Ohno (2005).
func panelOfSix() *lamp.Type {
	t := &lamp.Type{Name: "panel", Cells: 1, Modes: []*lamp.Mode{{Name: "only", Cells: 1}}}
	for _, e := range []struct{ peak, width, lumens float64 }{
		{630, 18, 1400}, {525, 33, 2600}, {450, 20, 200}, {592, 16, 1500}, {500, 28, 900}, {555, 105, 5200},
	} {
		t.Emitters = append(t.Emitters, lamp.Emitter{Spectrum: spectra.Ohno(e.peak, e.width), Lumens: e.lumens})
	}
	return t
}

// Three mixes of one lamp for daylight of 5600 K: what they render, and how far the worst
// channel of a camera is from what it would see of daylight.
func ExampleNew() {
	sensor, err := camera.SensorByName("bayer-a")
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := sensor.BalanceAt(5600)
	if err != nil {
		fmt.Println(err)
		return
	}
	reference := recipe.NewReference(view)
	panel := panelOfSix()
	white, err := colour.Daylight(5600)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, policy := range []recipe.Policy{recipe.Brightest, recipe.Truest, recipe.ForCamera} {
		r, err := recipe.New(panel, panel.Modes[0], policy, reference)
		if err != nil {
			fmt.Println(err)
			return
		}
		s := r.Solve(white, 0.4, white)
		var sum spectra.Spectrum
		for i, e := range panel.Emitters {
			sum = sum.Add(e.Spectrum.Scale(s.Drives[i] * e.Lumens / e.Spectrum.XYZ().Y))
		}
		f, err := quality.Measure(sum)
		if err != nil {
			fmt.Println(err)
			return
		}
		seen, want := view.Response(sum), reference.At(white)
		_, stops := seen.Mismatch(camera.Response{RGB: want, Y: 1})
		fmt.Printf("%-9s %v, Ra %.0f, camera off by %.2f stop, eye by %.4f\n", policy, f.SSI, f.CRI.Ra, stops, s.DeltaUV)
	}
	// Output:
	// brightest SSI[D5599] 59, Ra 85, camera off by 0.06 stop, eye by 0.0000
	// truest    SSI[D5599] 66, Ra 98, camera off by 0.03 stop, eye by 0.0000
	// camera    SSI[D5599] 65, Ra 96, camera off by 0.00 stop, eye by 0.0000
}
