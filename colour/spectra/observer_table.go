package spectra

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"
)

// The table is that of ISO/CIE 11664-1:2019; its head names where it came from.
//
//go:embed tables/cie1964_10deg_1nm.csv
var observer1964CSV string

var observer1964 = sync.OnceValue(func() *[Samples][3]float64 {
	return readObserver(observer1964CSV)
})

// readObserver reads an embedded table of colour-matching functions at 1 nm. A
// table that does not fit the grid is a fault of the build, so it panics.
func readObserver(text string) *[Samples][3]float64 {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("spectra: observer table: " + err.Error())
	}
	rows = rows[1:] // column names
	if len(rows) != Samples {
		panic("spectra: observer table: " + strconv.Itoa(len(rows)) + " rows")
	}
	table := new([Samples][3]float64)
	for i, row := range rows {
		if row[0] != strconv.Itoa(FirstNM+i) {
			panic("spectra: observer table: row of " + row[0] + " nm out of place")
		}
		for k := range table[i] {
			if table[i][k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				panic("spectra: observer table: " + err.Error())
			}
		}
	}
	return table
}
