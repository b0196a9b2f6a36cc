package main

import (
	"bytes"
	"context"
	"encoding/gob"
	"fmt"
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
	return childCommand(drawStills, "Draw small pictures of looks for a daemon, at low priority, over its standard pipes", "drawing looks", func(cmd *cobra.Command) error {
		return serveStills(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout())
	})
}

// serveStills draws one task.
func serveStills(ctx context.Context, in io.Reader, out io.Writer) error {
	encoded, err := io.ReadAll(io.LimitReader(in, pipeMost))
	if err != nil {
		return err
	}
	task, err := picture.ParseStillsTask(encoded)
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
	out, err := askChild(ctx, drawStills, task)
	if err != nil {
		return nil, err
	}
	var all [][]byte
	if err := gob.NewDecoder(bytes.NewReader(out)).Decode(&all); err != nil {
		return nil, fmt.Errorf("%s: %w", drawStills, err)
	}
	return all, nil
}

// stillsOf gives pages the small pictures of the looks of a session.
func stillsOf(set *session.Session) server.Stills {
	stills := light.NewStills(stillsInChild)
	return func(ctx context.Context, setup string) (map[string]server.Still, error) {
		sitting, err := set.Sitting(setup)
		if err != nil {
			return nil, err
		}
		all, err := stills.Of(ctx, sitting)
		if err != nil {
			return nil, err
		}
		out := make(map[string]server.Still, len(all))
		for name, s := range all {
			out[name] = server.Still(s)
		}
		return out, nil
	}
}
