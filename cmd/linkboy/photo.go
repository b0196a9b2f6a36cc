package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"

	"github.com/spf13/cobra"

	"linkboy/cues/photo"
	"linkboy/cues/take"
	"linkboy/server"
)

// cleanPhoto is the command that the daemon starts itself.
const cleanPhoto = "clean-photo"

// photosAtOnce is how many photos are worked on at a time.
const photosAtOnce = 1

// newCleanPhoto is the process that decodes a photo for a daemon: twelve million
// pixels make garbage that would keep frames waiting in the daemon's own memory.
func newCleanPhoto() *cobra.Command {
	return childCommand(cleanPhoto, "Take a photo from standard input and give it as a JPEG without metadata", "working on a photo", func(_ context.Context, in io.Reader, out io.Writer) error {
		picture, err := io.ReadAll(in)
		if err != nil {
			return err
		}
		p, err := photo.Clean(picture)
		if err != nil {
			return photoError{err}
		}
		_, err = fmt.Fprintf(out, "%d %d\n%s", p.Width, p.Height, p.JPEG)
		return err
	})
}

// photoError is a picture that is wrong, unlike a process that failed.
type photoError struct{ error }

// exitBadPhoto tells the daemon that the picture is to blame.
const exitBadPhoto = exitWrongUse

// photoCleaner has photos worked on in a process each.
type photoCleaner struct{ room chan struct{} }

func newPhotoCleaner() *photoCleaner { return &photoCleaner{make(chan struct{}, photosAtOnce)} }

// clean gives a photo as it is kept.
func (c *photoCleaner) clean(ctx context.Context, picture []byte) (take.Photo, error) {
	select {
	case c.room <- struct{}{}:
		defer func() { <-c.room }()
	case <-ctx.Done():
		return take.Photo{}, context.Cause(ctx)
	}
	cmd, done, err := newChild(ctx, cleanPhoto)
	if err != nil {
		return take.Photo{}, err
	}
	defer done()
	cmd.Stdin = bytes.NewReader(picture)
	out, err := cmd.Output()
	if exit, ok := errors.AsType[*exec.ExitError](err); ok && exit.ExitCode() == exitBadPhoto {
		return take.Photo{}, &server.PhotoError{Why: "the photo cannot be taken in" + cmd.said.text(), Mend: "send a JPEG or PNG of at most 64 million pixels"}
	}
	if err != nil {
		return take.Photo{}, fmt.Errorf("photo: %w%s", err, cmd.said.text())
	}
	var p take.Photo
	head, body, found := bytes.Cut(out, []byte("\n"))
	if _, err := fmt.Sscanf(string(head), "%d %d", &p.Width, &p.Height); err != nil || !found {
		return take.Photo{}, fmt.Errorf("photo: the process said %q", head)
	}
	p.JPEG = body
	return p, nil
}
