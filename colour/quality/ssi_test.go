package quality_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// Every column of a table made from the steps of SMPTE ST 2122 by another
// program, equal to the colour-science library 0.4.6: met to its third decimal.
func TestSSIEveryRow(t *testing.T) {
	all := illuminants(t)
	p3200, err := spectra.Blackbody(3200)
	require.NoError(t, err)
	table := rows(t, "ssi_values.csv")
	require.Len(t, table, len(all))
	for _, r := range table {
		name := r["name"]
		own, err := quality.SSIDefault(all[name])
		require.NoError(t, err, name)
		require.Equal(t, r["ref"], own.Reference, name)
		tungsten, err := quality.SSI(all[name], p3200)
		require.NoError(t, err, name)
		daylight, err := quality.SSI(all[name], all["D55"])
		require.NoError(t, err, name)
		for column, got := range map[string]float64{"SSI_ref": own.Value, "SSI_P3200": tungsten, "SSI_D55": daylight} {
			require.InDelta(t, r.Num(t, column), got, half(3), "%s %s", name, column)
			require.Equal(t, r[column+"_int"], fmt.Sprintf("%.0f", math.Round(got)), "%s %s", name, column)
		}
		require.Equal(t, fmt.Sprintf("SSI[%s] %s", r["ref"], r["SSI_ref_int"]), own.String())
	}
}

// Two values out of the tests of the colour-science library 0.4.6: an HMI lamp
// at 1 nm against D50, and illuminant C against D65.
func TestSSIHMI(t *testing.T) {
	all := illuminants(t)
	got, err := quality.SSI(readSpectra(t, "ssi_hmi_1nm.csv")["power"], all["D50"])
	require.NoError(t, err)
	require.InDelta(t, 71.775, got, half(3))
	got, err = quality.SSI(all["C"], all["D65"])
	require.NoError(t, err)
	require.InDelta(t, 94.182, got, 1.1e-3) // the library and the steps of the standard agree to 0.001
}

// The unit of the power has no part in it.
func TestSSIOfItself(t *testing.T) {
	for _, s := range references(t) {
		got, err := quality.SSI(s.Scale(1e-200), s.Scale(1e200))
		require.NoError(t, err)
		require.InDelta(t, 100, got, 1e-9)
	}
}

// Light outside of 375 to 675 nm is nothing to compare.
func TestSSIRefuses(t *testing.T) {
	var infrared spectra.Spectrum
	infrared[800-spectra.FirstNM] = 1
	_, err := quality.SSI(infrared, references(t)[0])
	require.ErrorContains(t, err, "no power from 375 to 675 nm")
	_, err = quality.SSI(references(t)[0], infrared)
	require.ErrorContains(t, err, "no power from 375 to 675 nm")
}
