package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"linkboy/colour/transport"
)

// computeInChild computes light in a process of its own, of the same binary and at low
// priority: computing in the daemon's process made frames 10 to 30 ms late, as its
// collector runs. It is a light.Compute.
func computeInChild(ctx context.Context, task []byte, each func(transport.Stage, []byte)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	cmd, done, err := newChild(ctx, computeLight)
	if err != nil {
		return err
	}
	defer done()
	in, err := cmd.StdinPipe()
	if err != nil {
		return fmt.Errorf("compute light: %w", err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return fmt.Errorf("compute light: %w", err)
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("compute light: %w", err)
	}
	err = talk(in, out, task, each)
	if err != nil {
		cancel()
	}
	_ = in.Close()
	if waitErr := cmd.Wait(); waitErr != nil && (err == nil || errors.Is(err, errPipe)) {
		err = waitErr
	}
	if ctxErr := context.Cause(ctx); err != nil && cmd.said.b == nil && ctxErr != nil && errors.Is(err, ctxErr) {
		return ctxErr
	}
	if err != nil {
		return fmt.Errorf("compute light: %w%s", err, cmd.said.text())
	}
	return nil
}

// talk sends the task and takes the stages until the other end is done.
func talk(in io.Writer, out io.Reader, task []byte, each func(transport.Stage, []byte)) error {
	if err := writeChunk(in, task); err != nil {
		return err
	}
	for {
		at, encoded, err := readStage(out)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		each(at, encoded)
	}
}
