package quality_test

import (
	"fmt"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// fl2 is CIE illuminant FL2, a cool white fluorescent lamp: its relative power
// every 5 nm from 380 to 780 nm (CIE 015:2018, table 10.1).
func fl2() spectra.Spectrum {
	power := []float64{
		1.18, 1.48, 1.84, 2.15, 3.44, 15.69, 3.85, 3.74, 4.19, 4.62, 5.06, 34.98, 11.81, 6.27, 6.63, 6.93,
		7.19, 7.4, 7.54, 7.62, 7.65, 7.62, 7.62, 7.45, 7.28, 7.15, 7.05, 7.04, 7.16, 7.47, 8.04, 8.88,
		10.01, 24.88, 16.64, 14.59, 16.16, 17.56, 18.62, 21.47, 22.79, 19.29, 18.66, 17.73, 16.54, 15.21, 13.8, 12.36,
		10.95, 9.65, 8.4, 7.32, 6.31, 5.43, 4.68, 4.02, 3.45, 2.96, 2.55, 2.19, 1.89, 1.64, 1.53, 1.27,
		1.1, 0.99, 0.88, 0.76, 0.68, 0.61, 0.56, 0.54, 0.51, 0.47, 0.47, 0.43, 0.46, 0.47, 0.4, 0.33,
		0.27,
	}
	nm := make([]float64, len(power))
	for i := range nm {
		nm[i] = float64(380 + 5*i)
	}
	s, err := spectra.FromTable(nm, power)
	if err != nil {
		panic(err)
	}
	return s
}

// CIE 015:2018 prints Ra 64.
func ExampleCRI() {
	r, err := quality.CRI(fl2())
	fmt.Printf("Ra %.0f, R9 %.0f at %.0f K, exact %v, %v\n", r.Ra, r.R[8], r.CCT.T, r.Exact(), err)
	// Output: Ra 64, R9 -83 at 4225 K, exact true, <nil>
}

// The rule of the printed tables: plain sums at 5 nm.
func ExampleCRIAt() {
	r, err := quality.CRIAt(fl2(), quality.Every5)
	fmt.Printf("Ra %.2f, R9 %.2f, %v\n", r.Ra, r.R[8], err)
	// Output: Ra 64.16, R9 -83.89, <nil>
}

// The spreadsheet of ANSI/IES TM-30-18 gives Rf 70, Rg 86, and the first hue
// bin, the reds, dulled by 25 %.
func ExampleTM30() {
	r, err := quality.TM30(fl2())
	red := r.Bins[0]
	fmt.Printf("Rf %.0f, Rg %.0f, reds: Rf %.0f, chroma %+.0f%%, %v\n", r.Rf, r.Rg, red.Rf, 100*red.Chroma, err)
	// Output: Rf 70, Rg 86, reds: Rf 60, chroma -25%, <nil>
}

func ExampleTM30At() {
	r, err := quality.TM30At(fl2(), quality.Every5)
	fmt.Printf("Rf %.2f, Rg %.2f, %v\n", r.Rf, r.Rg, err)
	// Output: Rf 70.12, Rg 86.42, <nil>
}

func ExampleSSI() {
	tungsten, _ := spectra.Blackbody(3200)
	v, err := quality.SSI(fl2(), tungsten)
	fmt.Printf("SSI[P3200] %.0f, %v\n", v, err)
	// Output: SSI[P3200] 55, <nil>
}

func ExampleSSIDefault() {
	r, err := quality.SSIDefault(fl2())
	fmt.Println(r, err)
	// Output: SSI[D4225] 62 <nil>
}

func ExampleTLCI() {
	r, err := quality.TLCI(fl2())
	fmt.Printf("TLCI %.0f, %v\n", r.Q, err)
	// Output: TLCI 30, <nil>
}

// The rule of the standard: sums at 5 nm. Other programs have 29.49 and 29.5.
func ExampleTLCIAt() {
	r, err := quality.TLCIAt(fl2(), quality.Every5)
	fmt.Printf("TLCI %.1f, %v\n", r.Q, err)
	// Output: TLCI 29.5, <nil>
}

// What means nothing for a light is nil, and said why.
func ExampleMeasure() {
	f, err := quality.Measure(fl2())
	fmt.Printf("%.0f K, Duv %+.4f, Ra %.0f, Rf %.0f, %v, TLCI %.0f, %v\n", f.CCT.T, f.CCT.Duv, f.CRI.Ra, f.TM30.Rf, f.SSI, f.TLCI.Q, err)

	f, _ = quality.Measure(spectra.Ohno(465, 20))
	fmt.Printf("%.0f nm, purity %.2f, no %s\n", f.Dominant.NM, f.Dominant.Purity, f.Missing[1].Figure)
	// Output:
	// 4225 K, Duv +0.0019, Ra 64, Rf 70, SSI[D4225] 62, TLCI 30, <nil>
	// 466 nm, purity 0.99, no CRI
}
