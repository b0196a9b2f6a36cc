package picture_test

import (
	"context"
	"image"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// stillsTask is a place with two lamps, in three lights.
func stillsTask(t testing.TB) picture.StillsTask {
	t.Helper()
	h := hazeTask(t, 0.1, vec{X: 3, Y: 2, Z: 1.5})
	m, err := transport.Compute(t.Context(), h.Place, transport.Options{Texels: 500})
	require.NoError(t, err)
	light, err := m.AppendBinary(nil)
	require.NoError(t, err)
	task := picture.StillsTask{
		Place: h.Place, Light: light, Camera: h.Camera, Key: 200, Over: 6,
		Matrix: camera.Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, Width: 32, Height: 18,
	}
	for i, of := range h.Lamps {
		face, err := solid.NewRectangle(vec{X: 2 + float64(i), Y: 3, Z: 1}, vec{X: 0.3}, vec{Z: 0.2})
		require.NoError(t, err)
		task.Lamps = append(task.Lamps, picture.Lamp{Face: face, Sources: of})
	}
	for i := range 3 {
		cells := make([]camera.RGB, len(h.Place.Sources))
		for k := range cells {
			cells[k] = camera.RGB{R: float64(200 * i), G: 100 * float64(k), B: 50}
		}
		task.Cells = append(task.Cells, cells)
	}
	return task
}

// A still is what a shot of the place shows in that light, wherever it is drawn.
func TestStillsAreShots(t *testing.T) {
	task := stillsTask(t)
	m, err := transport.Parse(task.Light)
	require.NoError(t, err)
	shot, err := picture.NewShot(t.Context(), transport.NewLit(task.Place, m), task.Place.Sources, task.Lamps, task.Camera, task.Width, task.Height)
	require.NoError(t, err)
	encoded, err := task.AppendBinary([]byte("x"))
	require.NoError(t, err)
	back, err := picture.ParseStillsTask(encoded[1:])
	require.NoError(t, err)
	drawn, err := back.Draw(t.Context())
	require.NoError(t, err)
	require.Len(t, drawn, 3)
	for i, cells := range task.Cells {
		seen := make([]camera.Response, len(cells))
		for k := range seen {
			seen[k].RGB = cells[k]
		}
		light, frame := picture.NewLight(m), shot.NewFrame()
		light.Set(m, seen)
		shot.Expose(light, task.Key, frame)
		want := picture.NewCurve(task.Over, task.Matrix).Develop(frame, nil)
		require.Equal(t, image.Rect(0, 0, 32, 18), drawn[i].Rect)
		require.LessOrEqual(t, mostApart(want.Pix, drawn[i].Pix), 1, "corners are sent to a thousand-millionth of a metre")
	}
	require.Greater(t, mostApart(drawn[0].Pix, drawn[2].Pix), 10, "each in its own light")
}

func mostApart(a, b []uint8) int {
	most := 0
	for i := range a {
		most = max(most, int(a[i])-int(b[i]), int(b[i])-int(a[i]))
	}
	return most
}

func TestStillsThatCannotBe(t *testing.T) {
	for name, spoil := range map[string]func(*picture.StillsTask){
		"no width":          func(s *picture.StillsTask) { s.Width = 0 },
		"too large":         func(s *picture.StillsTask) { s.Width, s.Height = 1<<20, 1<<20 },
		"no key":            func(s *picture.StillsTask) { s.Key = 0 },
		"too few values":    func(s *picture.StillsTask) { s.Cells[0] = s.Cells[0][1:] },
		"a source too many": func(s *picture.StillsTask) { s.Lamps[0].Sources = []int{len(s.Place.Sources)} },
	} {
		task := stillsTask(t)
		spoil(&task)
		encoded, err := task.AppendBinary(nil)
		require.NoError(t, err, name)
		_, err = picture.ParseStillsTask(encoded)
		require.ErrorIs(t, err, picture.ErrStillsTask, name)
	}
	task := stillsTask(t)
	task.Light = task.Light[:20]
	_, err := task.Draw(t.Context())
	require.ErrorIs(t, err, picture.ErrStillsTask, "half a light map")
	gone, goes := context.WithCancel(t.Context())
	goes()
	_, err = stillsTask(t).Draw(gone)
	require.ErrorIs(t, err, context.Canceled)
}

// FuzzParseStillsTask: whatever comes is read or refused, and what is read is drawn or
// refused.
func FuzzParseStillsTask(f *testing.F) {
	encoded, err := stillsTask(f).AppendBinary(nil)
	require.NoError(f, err)
	f.Add(encoded)
	f.Add(encoded[:len(encoded)/2])
	f.Fuzz(func(t *testing.T, b []byte) {
		task, err := picture.ParseStillsTask(b)
		if err != nil {
			require.ErrorIs(t, err, picture.ErrStillsTask)
			return
		}
		again, err := task.AppendBinary(nil)
		require.NoError(t, err)
		back, err := picture.ParseStillsTask(again)
		require.NoError(t, err)
		require.Equal(t, task.Cells, back.Cells)
		if task.Width*task.Height <= 1<<12 {
			_, _ = task.Draw(t.Context())
		}
	})
}
