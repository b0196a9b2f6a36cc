package main

import (
	"bufio"
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"linkboy/colour/transport"
	"linkboy/cues/light"
)

// computeLight is the command that the daemon starts itself.
const computeLight = "compute-light"

// newComputeLight is the process that computes light for a daemon, so that the daemon's
// own memory stays still.
func newComputeLight() *cobra.Command {
	return childCommand(computeLight, "Compute the light of a place for a daemon, at low priority, over its standard pipes", "computing light", serveLight)
}

// serveLight computes the one task that comes in, and ends when the pipe does.
func serveLight(ctx context.Context, in io.Reader, out io.Writer) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	from := bufio.NewReader(in)
	task, err := readChunk(from)
	if err != nil {
		return err
	}
	go func() {
		_, _ = from.ReadByte() // nothing comes any more, but the end
		cancel()
	}()
	var writeErr error
	err = light.Here(ctx, task, func(at transport.Stage, encoded []byte) {
		if writeErr = writeStage(out, at, encoded); writeErr != nil {
			cancel()
		}
	})
	return errors.Join(writeErr, err)
}
