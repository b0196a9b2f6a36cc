package colour

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"
)

// The grid of the observer's table.
const (
	observerFirstNM = 360
	observerLastNM  = 830
	observerSamples = observerLastNM - observerFirstNM + 1
)

// The table is that of ISO/CIE 11664-1:2019; its head names where it came from.
//
//go:embed tables/cie1931_2deg_1nm.csv
var observer1931CSV string

var observer1931 = sync.OnceValue(func() *[observerSamples][3]float64 {
	return readObserver(observer1931CSV)
})

// Observer1931 returns the colour-matching functions x̄, ȳ, z̄ of the CIE 1931
// 2-degree observer from 360 to 830 nm in steps of 1 nm [CIE 11664-1]. The
// table is shared by all callers and must not be written to.
func Observer1931() *[471][3]float64 { return observer1931() }

// readObserver reads an embedded table. A table that does not fit the grid is
// a fault of the build, so it panics.
func readObserver(text string) *[observerSamples][3]float64 {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("colour: observer table: " + err.Error())
	}
	rows = rows[1:] // column names
	if len(rows) != observerSamples {
		panic("colour: observer table: " + strconv.Itoa(len(rows)) + " rows")
	}
	table := new([observerSamples][3]float64)
	for i, row := range rows {
		if row[0] != strconv.Itoa(observerFirstNM+i) {
			panic("colour: observer table: row of " + row[0] + " nm out of place")
		}
		for k := range table[i] {
			if table[i][k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				panic("colour: observer table: " + err.Error())
			}
		}
	}
	return table
}
