package light_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/light"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// small compiles a place of two lamps; level is that of the edge.
func small(t *testing.T, level string) *compile.Place {
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}\n")},
		"kit.yaml":  {Data: []byte("P1: {type: panel-rgbww, mode: 16-bit}\nP2: {type: panel-rgbww, mode: 16-bit}\n")},
		"locations/place.yaml": {Data: []byte(`
set: [{box: floor, at: [0, 0, -0.1], size: [3, 2, 0.1], albedo: 0.3}]
marks: {a: [1.5, 1, 0]}
rig:
  key: {lamp: P1, at: [1.5, -2, 2], aim: [1.5, 1, 1.6], address: 0:0:1.001}
  edge: {lamp: P2, at: [1.5, 3, 2], aim: [1.5, 1, 1.6], address: 0:0:1.101}
groups: {key: [key], edge: [edge]}
looks: {look: {paint: [{on: key, colour: 4300 K, level: 50%}, {on: edge, colour: 4300 K, level: ` + level + `}]}}
`)},
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	return place
}

// counted is Here, which counts how often it is asked.
func counted(n *int) light.Compute {
	return func(ctx context.Context, task []byte, each func(transport.Stage, []byte)) error {
		*n++
		return light.Here(ctx, task, each)
	}
}

func all(stages <-chan session.Lighting) (out []session.Lighting) {
	for l := range stages {
		out = append(out, l)
	}
	return out
}

// The light comes in its stages, is kept, and is then at hand; only a place with levels at
// marks gets it taken apart.
func TestKeeperComputesOnce(t *testing.T) {
	var asked int
	k := &light.Keeper{Folder: light.Folder{Dir: t.TempDir()}, Compute: counted(&asked)}
	place := small(t, "-1 stops under key at a")
	_, ok := k.Kept(place)
	require.False(t, ok)
	first := all(k.Light(context.Background(), place))
	require.Len(t, first, 3)
	for i, want := range []string{"coarse", "direct", "bounced"} {
		require.NoError(t, first[i].Err)
		require.Equal(t, want, first[i].Stage)
		require.Equal(t, i == 2, first[i].Metered != nil)
		_, err := transport.Parse(first[i].Encoded)
		require.NoError(t, err)
	}
	require.NotEqual(t, first[0].Hash, first[2].Hash)

	again := all(k.Light(context.Background(), place))
	require.Len(t, again, 1)
	require.Equal(t, first[2].Encoded, again[0].Encoded)
	require.Equal(t, first[2].Hash, again[0].Hash)
	kept, ok := k.Kept(place)
	require.True(t, ok)
	require.NotNil(t, kept.Metered)
	require.Equal(t, 1, asked)

	idle := &light.Keeper{Folder: k.Folder}
	require.Equal(t, again, all(idle.Light(context.Background(), place)), "what is kept needs no computing")
	idle.Folder.Dir = t.TempDir()
	require.Empty(t, all(idle.Light(context.Background(), place)))

	// The same lamps and pieces are the same light, whatever the looks are.
	plain, ok := k.Kept(small(t, "40%"))
	require.True(t, ok)
	require.Nil(t, plain.Metered)
	require.Equal(t, kept.Hash, plain.Hash)

	still, report, problems := place.WithLight(kept.Metered).Still(place.Location.Looks[0])
	require.NotNil(t, still)
	require.Empty(t, problems)
	require.InDelta(t, 0, report.Levels[0].Off(), 0.05)
}

// What is computed and what is kept are the same map.
func TestKeeperMapIsTheSameEachTime(t *testing.T) {
	var asked int
	k := &light.Keeper{Folder: light.Folder{Dir: t.TempDir()}, Compute: counted(&asked)}
	set, _ := stage.Build(small(t, "40%"))
	var told []transport.Stage
	first, err := k.Map(context.Background(), set, func(s transport.Stage) { told = append(told, s) })
	require.NoError(t, err)
	require.Equal(t, []transport.Stage{transport.Coarse, transport.Direct, transport.Bounced}, told)
	again, err := k.Map(context.Background(), set, func(transport.Stage) { t.Error("nothing is computed") })
	require.NoError(t, err)
	require.Equal(t, first, again)
}

// A file that is whole and yet no map of this place is computed anew.
func TestKeeperReplacesWhatDoesNotFit(t *testing.T) {
	var asked int
	dir := t.TempDir()
	k := &light.Keeper{Folder: light.Folder{Dir: dir}, Compute: counted(&asked)}
	set, _ := stage.Build(small(t, "40%"))
	_, err := k.Map(context.Background(), set, func(transport.Stage) {})
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(dir, "*.light"))
	require.NoError(t, err)
	require.Len(t, files, 1)
	name := filepath.Base(files[0])
	require.NoError(t, k.Folder.Write(name[:32], []byte("not a map")))
	_, err = k.Map(context.Background(), set, func(transport.Stage) {})
	require.NoError(t, err)
	require.NoError(t, os.Truncate(files[0], 10))
	_, err = k.Map(context.Background(), set, func(transport.Stage) {})
	require.NoError(t, err)
	require.Equal(t, 3, asked)
}

func TestKeeperTellsWhatFails(t *testing.T) {
	broken := errors.New("no processor")
	k := &light.Keeper{Compute: func(context.Context, []byte, func(transport.Stage, []byte)) error { return broken }}
	got := all(k.Light(context.Background(), small(t, "40%")))
	require.Len(t, got, 1)
	require.ErrorIs(t, got[0].Err, broken)
	k.Compute = func(context.Context, []byte, func(transport.Stage, []byte)) error { return nil }
	got = all(k.Light(context.Background(), small(t, "40%")))
	require.Len(t, got, 1)
	require.ErrorContains(t, got[0].Err, "not finished")
}

func TestKeeperEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	k := &light.Keeper{Compute: light.Here}
	stages := k.Light(ctx, small(t, "40%"))
	<-stages
	cancel()
	for l := range stages {
		require.NoError(t, l.Err)
	}
	require.ErrorIs(t, light.Here(ctx, task(t), func(transport.Stage, []byte) {}), context.Canceled)
	require.ErrorIs(t, light.Here(context.Background(), []byte("x"), nil), transport.ErrTask)
}

func task(t *testing.T) []byte {
	set, _ := stage.Build(small(t, "40%"))
	b, err := transport.Task{Place: &set.Place}.AppendBinary(nil)
	require.NoError(t, err)
	return b
}
