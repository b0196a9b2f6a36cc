package showfile_test

import (
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/cues/showfile"
)

// A lamp with readings has a type of its own in their light; its like without
// readings has the type as it is made.
func TestReadingsMakeATypeOfTheLampsOwn(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/readings.txtar")
	require.NoError(t, err)
	fsys, _ := caseFiles(t, "testdata/readings.txtar", archive)
	show, problems := showfile.LoadFS(fsys, "tidewater")
	require.Empty(t, problems)
	own, other := show.KitLamp("T1"), show.KitLamp("T2")
	require.Nil(t, other.Calibration)
	require.NotSame(t, own.Type, other.Type)
	require.Same(t, other.Type, own.Calibration.Made)
	require.Equal(t, other.Type.Name, own.Type.Name)
	require.NotContains(t, show.Types, own.Type)
	mode, ok := own.Type.Mode("16-cell")
	require.True(t, ok)
	require.Same(t, mode, own.Mode, "the mode is one of its own type")
	require.Empty(t, own.Type.Validate())
	require.Contains(t, string(own.Mode.Curve), "square through")

	c := own.Calibration
	require.Equal(t, calibrate.Reading{Emitter: "red", Drive: 0.5, Lux: 16.5, DistanceM: 1}, c.Readings[1])
	require.Equal(t, calibrate.Reading{Emitter: "blue", Drive: 1, XY: colour.XY{X: 0.137, Y: 0.058}}, c.Readings[4])
	require.NotNil(t, c.Readings[3].Spectrum)
	require.Len(t, c.Report.Readings, 5)
	require.Equal(t, calibrate.BySpectrum, c.Report.Emitters[1].SpectrumBy)
	require.Equal(t, calibrate.ByXY, c.Report.Emitters[2].SpectrumBy)
	require.Equal(t, calibrate.ByOthers, c.Report.Emitters[3].LumensBy)
	require.Less(t, c.Report.MostStops, 0.01)
	blue := own.Type.Emitters[2].Spectrum.XYZ().XY()
	require.InDelta(t, 0.137, blue.X, 1e-5)
	require.InDelta(t, 0.058, blue.Y, 1e-5)
}
