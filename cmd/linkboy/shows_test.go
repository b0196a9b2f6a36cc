package main

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// evenLight gives as many lux for a lumen of every cell.
type evenLight struct{}

func (evenLight) PerLumen(_ *cues.Mark, cells []int, _, _, dst []float64) {
	for k := range cells {
		dst[k] = 0.01
	}
}

// The shows that come with linkboy have nothing to complain of, once there is light to
// measure levels by.
func TestShowsCheckClean(t *testing.T) {
	for _, name := range []string{"tidewater", "starter"} {
		dir := filepath.Join(t.TempDir(), name)
		require.NoError(t, writeShow(name, dir))
		problems, err := checkShow(dir, func(p *compile.Place) (*compile.Place, error) { return p.WithLight(evenLight{}), nil })
		require.NoError(t, err)
		require.Empty(t, problems)
	}
}

// Each place of the demo is more than an empty room to its cameras: a figure
// stands at mark a, and each picture shows a figure and several other things, each on
// a thousandth of it or more.
func TestTidewaterCamerasSeeThePlace(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	show, _ := showfile.Load(dir)
	for _, loc := range show.Locations {
		require.True(t, len(loc.Set) >= 15 && len(loc.Set) <= 40, "%s has %d pieces", loc.Name, len(loc.Set))
		require.Equal(t, loc.Mark("a").Points[0], loc.StandIns[0].Place)
		set, problems := stage.NewSet(loc)
		require.Empty(t, problems)
		for _, u := range loc.Setups {
			seen := inShot(show, set, u)
			figure := slices.ContainsFunc(loc.StandIns, func(in cues.StandIn) bool { return seen[in.Name] > 0 })
			require.True(t, figure, "nobody at %s from %s", loc.Name, u.Name)
			require.GreaterOrEqual(t, len(seen), 6, "%s from %s", loc.Name, u.Name)
		}
	}
}

// inShot gives the share of the picture of what stands in it, where that is a
// thousandth or more.
func inShot(show *cues.Show, set *stage.Set, u *cues.Setup) map[string]float64 {
	surfaces := make([]solid.Surface, len(set.Pieces))
	var sides [][2]int
	for i, p := range set.Pieces {
		surfaces[i] = p.Surface
		if p.Other > i {
			sides = append(sides, [2]int{i, p.Other})
		}
	}
	scene := solid.NewScene(surfaces, sides)
	shot := show.Shot(u)
	at := solid.Vec{X: u.Camera[0], Y: u.Camera[1], Z: u.Camera[2]}
	ahead := solid.Vec{X: u.LookAt[0], Y: u.LookAt[1], Z: u.LookAt[2]}.Sub(at).Unit()
	half := shot.SensorWidthMM / 2 / u.LensMM
	right := ahead.Cross(solid.Vec{Z: 1}).Unit().Scale(half)
	up := right.Cross(ahead).Scale(9. / 16)
	const nx, ny = 160, 90
	seen := map[string]float64{}
	for k := range nx * ny {
		x, y := 2*(float64(k%nx)+0.5)/nx-1, 2*(float64(k/nx)+0.5)/ny-1
		ray := solid.Ray{At: at, Along: ahead.Add(right.Scale(x)).Add(up.Scale(y))}
		if hit, ok := scene.Nearest(ray, 0, math.Inf(1)); ok {
			seen[set.Names[hit.Surface]] += 1. / (nx * ny)
		}
	}
	for name, share := range seen {
		if share < 0.001 {
			delete(seen, name)
		}
	}
	return seen
}
