package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"linkboy/colour/transport"
)

// computeInChild computes light in a process of its own, of the same binary and at low
// priority: computing in the daemon's process made frames 10 to 30 ms late, as its
// collector runs. It is a light.Compute.
func computeInChild(ctx context.Context, task []byte, each func(transport.Stage, []byte)) error {
	binary, err := os.Executable()
	if err != nil {
		return fmt.Errorf("compute light: %w", err)
	}
	// The system ends the process with the thread that started it: this goroutine keeps it.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	cmd := exec.CommandContext(ctx, binary, computeLight)
	cmd.SysProcAttr = endsWithUs()
	cmd.WaitDelay = time.Second
	var said tail
	cmd.Stderr = &said
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
	if ctxErr := context.Cause(ctx); err != nil && said.b == nil && ctxErr != nil && errors.Is(err, ctxErr) {
		return ctxErr
	}
	if err != nil {
		return fmt.Errorf("compute light: %w%s", err, said.text())
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

// tail keeps the last of what a process says of its troubles.
type tail struct{ b []byte }

const tailMost = 2000

// Write keeps the end of what there is.
func (t *tail) Write(p []byte) (int, error) {
	t.b = append(t.b, p...)
	t.b = bytes.Clone(t.b[max(0, len(t.b)-tailMost):])
	return len(p), nil
}

func (t *tail) text() string {
	if text := strings.TrimSpace(string(t.b)); text != "" {
		return ": " + text
	}
	return ""
}
