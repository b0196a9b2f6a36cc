package cues_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/mesh"
	"linkboy/cues"
)

// The box around a shape is that of its corners, by elementary geometry.
func TestBounds(t *testing.T) {
	wedge, err := mesh.ReadOBJ(strings.NewReader("v 9 9 9\nv 1 0 0\nv 0 2 0\nv 0 0 3\nf 2 3 4"), "wedge.obj")
	require.NoError(t, err)
	root := math.Sqrt2
	for name, c := range map[string]struct {
		shape     cues.Shape
		low, high cues.Point
	}{
		"box":                   {cues.Box{Centre: cues.Point{1, 2, 3}, Size: cues.Point{2, 4, 6}}, cues.Point{0, 0, 0}, cues.Point{2, 4, 6}},
		"box turned by 90":      {cues.Box{Centre: cues.Point{1, 2, 3}, Size: cues.Point{2, 4, 6}, TurnDeg: -90}, cues.Point{-1, 1, 0}, cues.Point{3, 3, 6}},
		"cube turned by 45":     {cues.Box{Size: cues.Point{2, 2, 2}, TurnDeg: 45}, cues.Point{-root, -root, -1}, cues.Point{root, root, 1}},
		"steps turned by 180":   {cues.Steps{Centre: cues.Point{1, 1, 1}, Size: cues.Point{2, 2, 2}, Count: 3, TurnDeg: 180}, cues.Point{0, 0, 0}, cues.Point{2, 2, 2}},
		"plane":                 {cues.Plane{Corner: cues.Point{1, 1, 1}, Along: cues.Point{-2, 0, 0}, Across: cues.Point{1, 0, 3}}, cues.Point{-1, 1, 1}, cues.Point{2, 1, 4}},
		"upright cylinder":      {cues.Cylinder{Foot: cues.Point{1, 1, 0}, Axis: cues.Point{0, 0, 2}, Radius: 0.5}, cues.Point{0.5, 0.5, 0}, cues.Point{1.5, 1.5, 2}},
		"cylinder hanging":      {cues.Cylinder{Axis: cues.Point{0, 0, -2}, Radius: 1}, cues.Point{-1, -1, -2}, cues.Point{1, 1, 0}},
		"cylinder on a slope":   {cues.Cylinder{Axis: cues.Point{1, 0, 1}, Radius: root}, cues.Point{-1, -root, -1}, cues.Point{2, root, 2}},
		"mesh, its lost points": {cues.Mesh{Triangles: wedge, Place: cues.Point{1, 1, 1}, Scale: 2, TurnDeg: 90}, cues.Point{-3, 1, 1}, cues.Point{1, 3, 7}},
	} {
		t.Run(name, func(t *testing.T) {
			low, high := c.shape.Bounds()
			require.InDeltaSlice(t, c.low[:], low[:], 1e-12)
			require.InDeltaSlice(t, c.high[:], high[:], 1e-12)
		})
	}
}

func TestTurnBy(t *testing.T) {
	for deg := -720.0; deg <= 720; deg += 7.5 {
		sin, cos := cues.TurnBy(deg)
		require.InDelta(t, math.Sin(deg*math.Pi/180), sin, 1e-12)
		require.InDelta(t, math.Cos(deg*math.Pi/180), cos, 1e-12)
		if math.Mod(deg, 90) == 0 {
			require.Zero(t, sin*cos, "%g degrees are exact", deg)
		}
	}
}

func TestFacing(t *testing.T) {
	loc := &cues.Location{}
	in := &cues.StandIn{Place: cues.Point{1, 2, 0}}
	require.Equal(t, cues.Point{1, 1, 0}, loc.Facing(in), "down the plan, where nobody films")
	loc.Setups = []*cues.Setup{{Camera: cues.Point{1, 2, 3}}}
	require.Equal(t, cues.Point{1, 1, 0}, loc.Facing(in), "nor to a camera above it")
	loc.Setups[0].Camera = cues.Point{5, 2, 1.5}
	require.Equal(t, cues.Point{5, 2, 1.5}, loc.Facing(in))
	in.Facing, in.HasFacing = cues.Point{0, 0, 0}, true
	require.Equal(t, cues.Point{}, loc.Facing(in))
}

func TestShot(t *testing.T) {
	show := &cues.Show{Camera: cues.Camera{ISO: 800, Stop: 2, ShutterDeg: 180, FPS: 24, Balance: 4300, Over: 6, Under: 8, SensorWidthMM: 24.9}}
	require.Equal(t, show.Camera, show.Shot(&cues.Setup{}))
	own := cues.Camera{ISO: 1600, Stop: 2.8, ShutterDeg: 90, FPS: 60, Balance: 5600, SensorWidthMM: 36}
	require.Equal(t, cues.Camera{ISO: 1600, Stop: 2.8, ShutterDeg: 90, FPS: 60, Balance: 5600, Over: 6, Under: 8, SensorWidthMM: 36}, show.Shot(&cues.Setup{Own: own}))
}
