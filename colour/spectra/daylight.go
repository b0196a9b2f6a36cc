package spectra

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"

	"linkboy/colour"
)

// The table is that of CIE 015:2018; its head names where it came from.
//
//go:embed tables/cie_daylight_5nm.csv
var daylightCSV string

// daylightBasis are the CIE components S0, S1, S2 of daylight at 1 nm.
var daylightBasis = sync.OnceValue(func() *[3]Spectrum { return readBasis(daylightCSV) })

// readBasis reads the embedded table, straight between its 5 nm rows as CIE
// asks. A table that cannot be read is a fault of the build, so it panics.
func readBasis(text string) *[3]Spectrum {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("spectra: daylight table: " + err.Error())
	}
	rows = rows[1:] // column names
	columns := [4][]float64{}
	for k := range columns {
		columns[k] = make([]float64, len(rows))
		for i, row := range rows {
			if columns[k][i], err = strconv.ParseFloat(row[k], 64); err != nil {
				panic("spectra: daylight table: " + err.Error())
			}
		}
	}
	var basis [3]Spectrum
	for k := range basis {
		basis[k] = interpolate(columns[0], columns[k+1])
	}
	return &basis
}

// DaylightSPD returns the relative spectrum of a phase of daylight at t,
// 4000 K to 25000 K: S0 + M1·S1 + M2·S2 with the factors of colour.Daylight's
// chromaticity [CIE 15]. It is 100 at 560 nm.
//
// The factors are not rounded, so the spectrum moves smoothly with t; CIE
// rounds them to three decimals, which puts the printed tables of D50 to D75
// up to 0.016 (of 100) away. D65 is the daylight of 6503.6 K: CIE scales its
// nominal temperatures by 1.4388/1.4380. The chromaticity of the spectrum lies
// 1.1e-4 in y below the polynomial's.
func DaylightSPD(t colour.Kelvin) (Spectrum, error) {
	p, err := colour.Daylight(t)
	if err != nil {
		return Spectrum{}, err
	}
	m := 0.0241 + 0.2562*p.X - 0.7341*p.Y
	m1 := (-1.3515 - 1.7703*p.X + 5.9114*p.Y) / m
	m2 := (0.0300 - 31.4424*p.X + 30.0717*p.Y) / m
	basis := daylightBasis()
	return basis[0].Add(basis[1].Scale(m1)).Add(basis[2].Scale(m2)), nil
}
