package quality_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// Rf, Rg, temperature and Duv of every illuminant by the colour-science
// library 0.4.6, which sums at 5 nm, met to its last digit but for D75 and
// C, whose temperature by Ohno's table leaves another 0.003. At 1 nm the
// narrow lines and emitters move by 0.19 at most.
func TestTM30EveryRow(t *testing.T) {
	all := illuminants(t)
	table := rows(t, "tm30_values.csv")
	require.Len(t, table, len(all))
	for _, r := range table {
		name := r["name"]
		at5, err := quality.TM30At(all[name], quality.Every5)
		require.NoError(t, err, name)
		require.InDelta(t, r.Num(t, "Rf"), at5.Rf, half(2)+0.003, name)
		require.InDelta(t, r.Num(t, "Rg"), at5.Rg, half(2), name)
		require.InDelta(t, r.Num(t, "CCT"), float64(at5.CCT.T), 0.09, name)
		require.InDelta(t, r.Num(t, "Duv"), float64(at5.CCT.Duv), 6e-6, name)

		at1, err := quality.TM30(all[name])
		require.NoError(t, err, name)
		require.InDelta(t, r.Num(t, "Rf"), at1.Rf, 0.19, name)
		require.InDelta(t, r.Num(t, "Rg"), at1.Rg, 0.19, name)
	}
}

// FL2 by the official spreadsheet of ANSI/IES TM-30-18, rounded there to
// integers, and hue shifts to two decimals. The spreadsheet rounds CCT to 4225 K
// and interpolates in its own way: Rs is met to 0.75, the rest to its rounding.
func TestTM30OfficialFL2(t *testing.T) {
	got, err := quality.TM30At(illuminants(t)["FL2"], quality.Every5)
	require.NoError(t, err)
	require.InDelta(t, 70, got.Rf, 0.5)
	require.InDelta(t, 86, got.Rg, 0.5)
	require.InDelta(t, 4225, float64(got.CCT.T), 0.6)
	require.InDelta(t, 0.0019, float64(got.CCT.Duv), 1.2e-4)
	checked := 0
	for _, r := range rows(t, "tm30_fl2_official.csv") {
		i := int(r.Num(t, "index")) - 1
		want := r.Num(t, "value")
		checked++
		switch r["item"] {
		case "Rs":
			require.InDelta(t, want, got.Rs[i], 0.75, "Rs of CES%02d", i+1)
		case "Rf_h":
			require.InDelta(t, want, got.Bins[i].Rf, 0.75, "Rf of bin %d", i+1)
		case "Rcs_h_percent":
			require.InDelta(t, want, 100*got.Bins[i].Chroma, 0.51, "chroma of bin %d", i+1)
		case "Rhs_h":
			require.InDelta(t, want, got.Bins[i].Hue, 0.0051, "hue of bin %d", i+1)
		default:
			t.Fatal(r)
		}
	}
	require.Equal(t, 99+3*16, checked)
}

// The sample spectrum of the official CIE 224:2017 spreadsheet: Rf 81.6 and 99 Rs.
func TestCIE224Sample(t *testing.T) {
	got, err := quality.TM30At(readSpectra(t, "cie224_sample_spd_5nm.csv")["power"], quality.Every5)
	require.NoError(t, err)
	require.InDelta(t, 81.6, got.Rf, 0.06)
	table := rows(t, "cie224_sample_rs.csv")
	require.Len(t, table, 99)
	for i, r := range table {
		require.Equal(t, fmt.Sprint(i+1), r["CES"])
		require.InDelta(t, r.Num(t, "Rs"), got.Rs[i], 0.1, "CES%02d", i+1)
	}
}

// ANSI/IES TM-30-20: a light that is its own reference has 100 and no shifts.
func TestTM30OfTheReferenceItself(t *testing.T) {
	for _, s := range references(t) {
		got, err := quality.TM30(s)
		require.NoError(t, err)
		require.InDelta(t, 100, got.Rf, 0.02)
		require.InDelta(t, 100, got.Rg, 0.02)
		samples := 0
		for k, bin := range got.Bins {
			samples += bin.Samples
			require.Positive(t, bin.Samples, "bin %d at %v", k+1, got.CCT.T)
			require.InDelta(t, 100, bin.Rf, 0.05)
			require.InDelta(t, 0, bin.Chroma, 5e-4)
			require.InDelta(t, 0, bin.Hue, 5e-4)
		}
		require.Equal(t, 99, samples)
	}
}

// references are lights that every figure takes for its own reference.
func references(t testing.TB) []spectra.Spectrum {
	t.Helper()
	warm, err := spectra.Blackbody(2700)
	require.NoError(t, err)
	tungsten, err := spectra.Blackbody(3200)
	require.NoError(t, err)
	noon, err := spectra.DaylightSPD(5600)
	require.NoError(t, err)
	sky, err := spectra.DaylightSPD(12000)
	require.NoError(t, err)
	return []spectra.Spectrum{warm, tungsten, noon, sky}
}
