package main

import (
	"bytes"
	"context"
	"encoding/gob"
	"image/png"
	"io"

	"github.com/spf13/cobra"

	"linkboy/colour/picture"
	"linkboy/cues/light"
	"linkboy/cues/session"
	"linkboy/server"
)

// drawStills is the command that the daemon starts itself.
const drawStills = "draw-stills"

// newDrawStills is the process that draws small pictures of looks for a daemon: its task
// comes on standard input, and the pictures go to standard output.
func newDrawStills() *cobra.Command {
	return childCommand(drawStills, "Draw small pictures of looks for a daemon, at low priority, over its standard pipes", "drawing looks", serveStills)
}

// serveStills draws one task.
func serveStills(ctx context.Context, in io.Reader, out io.Writer) error {
	task, err := readTask(in, picture.ParseStillsTask)
	if err != nil {
		return err
	}
	images, err := task.Draw(ctx)
	if err != nil {
		return err
	}
	all := make([][]byte, len(images))
	for i, img := range images {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			return err
		}
		all[i] = b.Bytes()
	}
	return gob.NewEncoder(out).Encode(all)
}

// stillsInChild draws in a process of its own. It is a light.DrawStills.
func stillsInChild(ctx context.Context, task []byte) ([][]byte, error) {
	return askChildFor[[][]byte](ctx, drawStills, task)
}

// stillsOf gives pages the small pictures of the looks of a session.
func stillsOf(set *session.Session) server.Stills {
	stills := light.NewStills(stillsInChild)
	return func(ctx context.Context, setup, look string) (server.Still, bool, error) {
		sitting, err := set.Sitting(setup)
		if err != nil {
			return server.Still{}, false, err
		}
		all, err := stills.Of(ctx, sitting)
		still, ok := all[look]
		return server.Still(still), ok, err
	}
}
