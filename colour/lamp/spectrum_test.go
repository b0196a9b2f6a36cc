package lamp_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// The spectrum of a mix and the solver's forward model are two ways to the same
// light: sums at 1 nm, and sums of the emitters' XYZ.
func TestSpectrumAgreesWithTheForwardModel(t *testing.T) {
	typ := &lamp.Type{
		Name: "three", Cells: 8,
		Emitters: []lamp.Emitter{
			{Name: "red", Spectrum: spectra.Ohno(630, 18), Lumens: 200},
			{Name: "green", Spectrum: spectra.Ohno(525, 33), Lumens: 400},
			{Name: "blue", Spectrum: spectra.Ohno(465, 23), Lumens: 50},
		},
	}
	mode := &lamp.Mode{Name: "4-cell", Cells: 4}
	cell, err := typ.CellOf(mode)
	require.NoError(t, err)
	for _, d := range []emitters.Drives{{1, 0, 0}, {0, 1, 0}, {0.3, 0.7, 1}, {}} {
		want, got := cell.Light(d), typ.Spectrum(mode, d).XYZ()
		require.InDelta(t, want.X, got.X, 1e-9)
		require.InDelta(t, want.Y, got.Y, 1e-9)
		require.InDelta(t, want.Z, got.Z, 1e-9)
	}
}
