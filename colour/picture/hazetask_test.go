package picture_test

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/picture"
	"linkboy/colour/transport"
)

func TestHazeTaskComesBack(t *testing.T) {
	task := hazeTask(t, 0.1, vec{X: 3, Y: 2, Z: 1.5})
	encoded, err := task.AppendBinary([]byte("x"))
	require.NoError(t, err)
	back, err := picture.ParseHazeTask(encoded[1:])
	require.NoError(t, err)
	require.Equal(t, task.Lamps, back.Lamps)
	require.Equal(t, task.Camera, back.Camera)
	require.Equal(t, task.Share, back.Share)

	a, err := task.Compute(context.Background())
	require.NoError(t, err)
	b, err := back.Compute(context.Background())
	require.NoError(t, err)
	first, err := a.AppendBinary(nil)
	require.NoError(t, err)
	second, err := b.AppendBinary(nil)
	require.NoError(t, err)
	require.Equal(t, first, second, "the air is the same wherever it is computed")

	m, err := transport.Parse(first)
	require.NoError(t, err)
	require.Equal(t, []transport.Grid{{Nu: 96, Nv: 54}}, m.Grids)
	require.Equal(t, len(task.Place.Sources), m.Sources)
}

func TestHazeTaskRefuses(t *testing.T) {
	task := hazeTask(t, 0.1, vec{X: 3, Y: 2, Z: 1.5})
	good, err := task.AppendBinary(nil)
	require.NoError(t, err)
	head, place, _ := strings.Cut(string(good), "\n")
	for what, bad := range map[string]string{
		"nothing":                 "",
		"no place":                head + "\n",
		"a place alone":           place,
		"a later version":         strings.Replace(string(good), `"haze":1`, `"haze":2`, 1),
		"all of the light":        strings.Replace(string(good), `"share":0.1`, `"share":1`, 1),
		"less than nothing":       strings.Replace(string(good), `"share":0.1`, `"share":-0.1`, 1),
		"no such source":          strings.Replace(string(good), `[[0],[1]]`, `[[0],[2]]`, 1),
		"a source of two lamps":   strings.Replace(string(good), `[[0],[1]]`, `[[0],[0]]`, 1),
		"what is after the place": string(good) + "x",
	} {
		require.NotEqual(t, string(good), bad, what)
		_, err := picture.ParseHazeTask([]byte(bad))
		require.ErrorIs(t, err, picture.ErrHazeTask, what)
	}
	task.Share = math.NaN()
	_, err = task.AppendBinary(nil)
	require.ErrorIs(t, err, picture.ErrHazeTask)

	blind := hazeTask(t, 0.1, vec{X: 3, Y: -1.5, Z: 1.5})
	_, err = blind.Compute(context.Background())
	require.ErrorIs(t, err, picture.ErrLooksNowhere)
	ended, end := context.WithCancel(context.Background())
	end()
	_, err = hazeTask(t, 0.1, vec{}).Compute(ended)
	require.ErrorIs(t, err, context.Canceled)
}

func FuzzParseHazeTask(f *testing.F) {
	good, err := hazeTask(f, 0.1, vec{X: 3, Y: 2, Z: 1.5}).AppendBinary(nil)
	require.NoError(f, err)
	f.Add(good)
	f.Add([]byte("{}\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		task, err := picture.ParseHazeTask(b)
		if err != nil {
			require.ErrorIs(t, err, picture.ErrHazeTask)
			return
		}
		encoded, err := task.AppendBinary(nil)
		require.NoError(t, err)
		again, err := picture.ParseHazeTask(encoded)
		require.NoError(t, err)
		lamps, err := json.Marshal(task.Lamps)
		require.NoError(t, err)
		lampsAgain, err := json.Marshal(again.Lamps)
		require.NoError(t, err)
		require.Equal(t, string(lamps), string(lampsAgain))
		require.Equal(t, task.Camera, again.Camera)
		require.Equal(t, task.Share, again.Share)
	})
}
