package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/light"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// starterTask is the task of the starter show's place.
func starterTask(t testing.TB) []byte {
	dir := filepath.Join(t.TempDir(), "show")
	require.NoError(t, writeShow("starter", dir))
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors())
	place, _ := compile.Location(show, show.Locations[0])
	set, _ := stage.Build(place)
	b, err := transport.Task{Place: &set.Place, Options: transport.Options{Texels: 1500, Rays: 16}}.AppendBinary(nil)
	require.NoError(t, err)
	return b
}

// A child process comes to the very light that this one does.
func TestChildComputesTheSameLight(t *testing.T) {
	task := starterTask(t)
	type got struct {
		at      transport.Stage
		encoded []byte
	}
	var here, there []got
	require.NoError(t, light.Here(t.Context(), task, func(at transport.Stage, b []byte) { here = append(here, got{at, b}) }))
	require.NoError(t, computeInChild(t.Context(), task, func(at transport.Stage, b []byte) { there = append(there, got{at, b}) }))
	require.Len(t, there, 3)
	require.Equal(t, here, there)
}

func TestChildSaysWhatIsWrong(t *testing.T) {
	err := computeInChild(t.Context(), []byte("not a place"), func(transport.Stage, []byte) {})
	require.ErrorContains(t, err, "no place to compute light in")
}

func TestChildEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	began := false
	err := computeInChild(ctx, starterTask(t), func(transport.Stage, []byte) { began = true; cancel() })
	require.Error(t, err)
	require.True(t, began)
	require.ErrorIs(t, ctx.Err(), context.Canceled)
}

// The end of the pipe ends the work: a daemon that was killed leaves nothing behind.
func TestServeLightEndsWithItsPipe(t *testing.T) {
	in, out := io.Pipe()
	done := make(chan error, 1)
	go func() { done <- serveLight(context.Background(), in, io.Discard) }()
	require.NoError(t, writeChunk(out, starterTask(t)))
	require.NoError(t, out.Close())
	select {
	case err := <-done:
		if err != nil { // it may have been done by then
			require.ErrorIs(t, err, context.Canceled)
		}
	case <-time.After(time.Minute):
		t.Fatal("it goes on without a daemon")
	}
}

func TestLowPriority(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the scheduling class is read from /proc")
	}
	var stat string
	require.NoError(t, computeInChild(t.Context(), starterTask(t), func(at transport.Stage, _ []byte) {
		if at == transport.Coarse {
			stat = childStat(t)
		}
	}))
	fields := strings.Fields(stat[strings.LastIndex(stat, ")")+1:])
	// proc(5): after the name, nice is field 19 and policy field 41 of the line, from 1.
	require.Equal(t, "19", fields[19-3])
	require.Equal(t, "5", fields[41-3], "SCHED_IDLE")
}

// childStat is the line of /proc of the child that computes light.
func childStat(t *testing.T) string {
	tasks, err := filepath.Glob("/proc/self/task/*/children")
	require.NoError(t, err)
	for _, path := range tasks {
		children, _ := os.ReadFile(path)
		for _, pid := range strings.Fields(string(children)) {
			line, err := os.ReadFile("/proc/" + pid + "/cmdline")
			if err == nil && strings.Contains(string(line), computeLight) {
				stat, err := os.ReadFile("/proc/" + pid + "/stat")
				require.NoError(t, err)
				return string(stat)
			}
		}
	}
	t.Fatal("no child computes light")
	return ""
}

// FuzzPipe: what is read is written again byte for byte, and nothing else than errPipe and
// the end comes of the rest.
func FuzzPipe(f *testing.F) {
	var b bytes.Buffer
	require.NoError(f, writeStage(&b, transport.Coarse, []byte("map")))
	require.NoError(f, writeStage(&b, transport.Bounced, nil))
	f.Add(b.Bytes())
	f.Add([]byte{2, 0xff, 0xff, 0xff, 0x3f, 1})
	f.Fuzz(func(t *testing.T, b []byte) {
		r := bytes.NewReader(b)
		var again bytes.Buffer
		for {
			at, encoded, err := readStage(r)
			if err == io.EOF {
				require.True(t, bytes.Equal(b, again.Bytes()))
				return
			}
			if err != nil {
				require.ErrorIs(t, err, errPipe)
				return
			}
			require.NoError(t, writeStage(&again, at, encoded))
		}
	})
}
