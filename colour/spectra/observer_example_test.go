package spectra_test

import (
	"fmt"

	"linkboy/colour/spectra"
)

// D65 is printed as 0.31382, 0.33100 for the 10-degree observer [CIE 15]. The
// phase of daylight it is named after, unrounded, comes within 1e-4.
func ExampleObserver() {
	d65, err := spectra.DaylightSPD(6503.6)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range []spectra.Observer{spectra.CIE1931, spectra.CIE1964} {
		p := o.XYZ(d65).XY()
		fmt.Printf("%v: %.4f %.4f\n", o, p.X, p.Y)
	}
	// Output:
	// 2 deg: 0.3127 0.3290
	// 10 deg: 0.3138 0.3310
}
