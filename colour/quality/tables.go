package quality

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"

	"linkboy/colour/spectra"
)

// Each table's head names its source and, where there is one, its licence.
var (
	//go:embed tables/cie13_3_tcs_5nm.csv
	tcsCSV string
	//go:embed tables/cie224_ces99_5nm.csv
	cesCSV string
	//go:embed tables/ebu3355_camera_5nm.csv
	cameraCSV string
	//go:embed tables/ebu3355_samples_5nm.csv
	patchesCSV string
)

var (
	// tcs are the 14 test colour samples of [CIE 13.3].
	tcs = sync.OnceValue(func() []spectra.Spectrum { return readColumns(tcsCSV, 14) })
	// ces are the 99 colour evaluation samples of [CIE 224].
	ces = sync.OnceValue(func() []spectra.Spectrum { return readColumns(cesCSV, 99) })
	// patches are the 18 coloured samples of [Tech 3355]; the table has 6 greys more.
	patches = sync.OnceValue(func() []spectra.Spectrum { return readColumns(patchesCSV, 24)[:18] })
	// camera is the camera of [Tech 3353].
	camera = sync.OnceValue(func() *responses { return readResponses(cameraCSV) })
)

// Patches returns the reflectances of the 18 coloured samples of [Tech 3355]: skin,
// sky, leaves and strong pigments, which stand for what is filmed. They are shared by
// all callers and must not be written to.
func Patches() []spectra.Spectrum { return patches() }

// twoDegrees and tenDegrees are the observers of the CIE.
func twoDegrees() *responses { return (*responses)(spectra.CIE1931.Functions()) }
func tenDegrees() *responses { return (*responses)(spectra.CIE1964.Functions()) }

// readResponses reads a table of three sensitivities.
func readResponses(text string) *responses {
	table := new(responses)
	for k, column := range readColumns(text, 3) {
		for i, v := range column {
			table[i][k] = v
		}
	}
	return table
}

// readColumns reads an embedded table, straight between its rows, zero outside
// of them. A table that does not fit is a fault of the build, so it panics.
func readColumns(text string, columns int) []spectra.Spectrum {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("quality: table: " + err.Error())
	}
	names, rows := rows[0], rows[1:]
	if len(names) != columns+1 {
		panic("quality: table of " + names[1] + ": " + strconv.Itoa(len(names)-1) + " columns")
	}
	nm := readColumn(names[0], rows, 0)
	out := make([]spectra.Spectrum, columns)
	for k := range out {
		if out[k], err = spectra.FromTable(nm, readColumn(names[k+1], rows, k+1)); err != nil {
			panic("quality: table of " + names[k+1] + ": " + err.Error())
		}
	}
	return out
}

func readColumn(name string, rows [][]string, k int) []float64 {
	column := make([]float64, len(rows))
	for i, row := range rows {
		v, err := strconv.ParseFloat(row[k], 64)
		if err != nil {
			panic("quality: table of " + name + ": " + err.Error())
		}
		column[i] = v
	}
	return column
}
