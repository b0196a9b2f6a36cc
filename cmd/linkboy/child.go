package main

import (
	"bytes"
	"context"
	"encoding/gob"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"
)

// child is a process of the same binary that works for a daemon: it ends with ctx and with
// the daemon.
type child struct {
	*exec.Cmd
	said tail // on its standard error
}

// newChild readies a command of the binary as a child, for the goroutine that calls: until
// it calls done the system keeps its thread, with which it would end the process.
func newChild(ctx context.Context, command string) (c *child, done func(), err error) {
	binary, err := os.Executable()
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", command, err)
	}
	runtime.LockOSThread()
	c = &child{Cmd: exec.CommandContext(ctx, binary, command)}
	c.SysProcAttr = endsWithUs()
	c.WaitDelay = time.Second
	c.Stderr = &c.said
	return c, runtime.UnlockOSThread, nil
}

// askChild gives what a command of the binary makes of what it is sent, as a child. The
// error is that of ctx, or tells what the child said.
func askChild(ctx context.Context, command string, in []byte) ([]byte, error) {
	cmd, done, err := newChild(ctx, command)
	if err != nil {
		return nil, err
	}
	defer done()
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w%s", command, err, cmd.said.text())
	}
	return out, nil
}

// askChildFor is askChild of a command that gives a value, as encoding/gob writes it.
func askChildFor[T any](ctx context.Context, command string, in []byte) (value T, err error) {
	out, err := askChild(ctx, command, in)
	if err != nil {
		return value, err
	}
	if err := gob.NewDecoder(bytes.NewReader(out)).Decode(&value); err != nil {
		return value, fmt.Errorf("%s: %w", command, err)
	}
	return value, nil
}

// readTask reads all of what a child is sent.
func readTask[T any](in io.Reader, parse func([]byte) (T, error)) (task T, err error) {
	encoded, err := io.ReadAll(io.LimitReader(in, pipeMost))
	if err != nil {
		return task, err
	}
	return parse(encoded)
}

// childCommand is a command that the daemon starts itself, as a child at low priority, to
// serve it over its standard pipes. doing says what it does, where that priority is not to
// be had.
func childCommand(name, short, doing string, serve func(ctx context.Context, in io.Reader, out io.Writer) error) *cobra.Command {
	return &cobra.Command{
		Use: name, Hidden: true, Short: short, Args: exactly(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := lowPriority(); err != nil {
				cmd.PrintErrf("linkboy: %s at usual priority: %v\n", doing, err)
			}
			return serve(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout())
		},
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
