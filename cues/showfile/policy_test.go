package showfile_test

import (
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// The policies and the sensor of testdata/policies.txtar come out where they were written.
func TestPolicies(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/policies.txtar")
	require.NoError(t, err)
	fsys, _ := caseFiles(t, "policies", archive)
	show, problems := showfile.LoadFS(fsys, "tidewater")
	require.Empty(t, problems)
	loc := show.Location("deep-end")
	require.Equal(t, recipe.Truest, show.Look(nil, "warden").Policy)
	require.Empty(t, show.Look(nil, "tide").Policy)
	require.Equal(t, recipe.Truest, show.Policy(loc, show.Look(nil, "tide")), "from warden")
	require.Equal(t, recipe.ForCamera, show.KitLamp("T3").Policy)
	require.Empty(t, show.KitLamp("K1").Policy)
	edge := loc.Group("edge")
	require.Equal(t, recipe.Brightest, edge.Policy)
	require.Equal(t, cues.MatchGroup, edge.Match)
	require.Equal(t, 32, edge.Cells())
	require.Empty(t, loc.Group("back").Match)
	require.Equal(t, "my-camera.csv", show.Camera.Sensor.Name)
	require.Equal(t, 1.0, show.Camera.Sensor.G[540-spectra.FirstNM])

	show, _ = showfile.LoadFS(base(t), "tidewater")
	require.Nil(t, show.Camera.Sensor, "what is not said is left to who needs it")
	require.Empty(t, show.Policy(nil, show.Look(nil, "warden")))
}
