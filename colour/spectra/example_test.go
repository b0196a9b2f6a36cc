package spectra_test

import (
	"fmt"

	"linkboy/colour/spectra"
)

func ExampleOhno() {
	red := spectra.Ohno(630, 20)
	p := red.XYZ().XY()
	fmt.Printf("xy %.4f %.4f, %.0f lm per watt of light\n", p.X, p.Y, red.Efficacy())
	// Output: xy 0.6985 0.3014, 190 lm per watt of light
}

func ExampleFromTable() {
	s, err := spectra.FromTable([]float64{450, 550, 650}, []float64{0.8, 1, 0.7})
	fmt.Println(s[500-spectra.FirstNM], s[700-spectra.FirstNM], err)
	// Output: 0.9 0 <nil>
}

func ExampleDaylightSPD() {
	s, _ := spectra.DaylightSPD(5600)
	c, _ := s.XYZ().XY().CCT()
	fmt.Printf("%.0f K, Duv %+.3f\n", c.T, c.Duv)
	// Output: 5599 K, Duv +0.003
}
