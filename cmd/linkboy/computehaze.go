package main

import (
	"compress/gzip"
	"context"
	"io"

	"github.com/spf13/cobra"

	"linkboy/colour/picture"
	"linkboy/cues/light"
	"linkboy/cues/session"
	"linkboy/server"
)

// computeHaze is the command that the daemon starts itself.
const computeHaze = "compute-haze"

// newComputeHaze is the process that computes what haze gives a picture for a daemon, as
// newComputeLight computes light: its task comes on standard input, and what it comes to
// goes packed to standard output.
func newComputeHaze() *cobra.Command {
	return childCommand(computeHaze, "Compute for a daemon what haze gives a picture, at low priority, over its standard pipes", "computing haze", serveHaze)
}

// serveHaze computes one task.
func serveHaze(ctx context.Context, in io.Reader, out io.Writer) error {
	task, err := readTask(in, picture.ParseHazeTask)
	if err != nil {
		return err
	}
	air, err := task.Compute(ctx)
	if err != nil {
		return err
	}
	encoded, err := air.AppendBinary(nil)
	if err != nil {
		return err
	}
	packed := gzip.NewWriter(out)
	if _, err := packed.Write(encoded); err != nil {
		return err
	}
	return packed.Close()
}

// hazeInChild computes haze in a process of its own. It is a light.ComputeHaze.
func hazeInChild(ctx context.Context, task []byte) ([]byte, error) {
	return askChild(ctx, computeHaze, task)
}

// hazeOf gives pages what haze adds to the pictures of a session.
func hazeOf(set *session.Session) server.Haze {
	haze := light.NewHaze(hazeInChild)
	return func(ctx context.Context, setup string, share float64) (server.Air, error) {
		on, u, err := set.Vantage(setup)
		if err != nil {
			return server.Air{}, err
		}
		a, err := haze.Of(ctx, on, u, share)
		return server.Air(a), err
	}
}
