package main

import (
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// stillSeconds is how long a film shows what is before and after a fade.
const stillSeconds = 0.5

// reel takes the frames of a film, one after the other.
type reel struct {
	add   func(image.Image) error
	close func() error
}

// film draws the fade of a cue as the camera takes it, at its own frame rate.
func (s *studio) film(cmd *cobra.Command, f pictureFlags) error {
	c, before, err := cueBefore(s.scene.place.Location, f.cue)
	if err != nil {
		return err
	}
	turn, timing, err := s.fadeOf(cmd, c, before)
	if err != nil {
		return err
	}
	fps := s.scene.set.Plan.Show.Shot(s.scene.setup).FPS
	out, err := newReel(cmd, f.out, fps)
	if err != nil {
		return err
	}
	still := make(track.Still, len(turn.Fade.From))
	lead := time.Duration(stillSeconds * float64(time.Second))
	total := timing.Total().Seconds()
	last := int(math.Round((total + 2*stillSeconds) * fps))
	for i := range last + 1 {
		if err := cmd.Context().Err(); err != nil {
			return errors.Join(err, out.close())
		}
		turn.At(time.Duration(float64(i)/fps*float64(time.Second))-lead, lead, still)
		if err := out.add(s.draw(s.scene.place.Frame(still, !c.Dark))); err != nil {
			return errors.Join(err, out.close())
		}
		tellProgress(cmd.ErrOrStderr(), i+1, last+1)
	}
	return out.close()
}

// cueBefore finds a cue and the one that it comes from.
func cueBefore(loc *cues.Location, number int) (c, before *cues.Cue, err error) {
	if number < 2 || number > len(loc.Cues) {
		return nil, nil, usageError{mendedError{fmt.Errorf("no fade of cue %d at %s", number, loc.Name),
			fmt.Sprintf("give --cue of 2 to %d: each comes from the cue before it", len(loc.Cues))}}
	}
	return loc.Cues[number-1], loc.Cues[number-2], nil
}

func (s *studio) fadeOf(cmd *cobra.Command, c, before *cues.Cue) (*track.Passage, compile.Timing, error) {
	var timing compile.Timing
	from, out, err := s.scene.moving(cmd, before.Look, before.Dark)
	if err != nil {
		return nil, timing, err
	}
	to, in, err := s.scene.moving(cmd, c.Look, c.Dark)
	if err != nil {
		return nil, timing, err
	}
	if timing, err = s.scene.place.Timing(c); err != nil {
		return nil, timing, err
	}
	fade, err := s.scene.place.Fade(from, to, timing)
	return &track.Passage{Fade: fade, Out: out, In: in}, timing, err
}

// newReel takes frames into a folder or, by ffmpeg, into a film.
func newReel(cmd *cobra.Command, path string, fps float64) (reel, error) {
	if filepath.Ext(path) == ".mp4" {
		return newFilm(cmd, path, fps)
	}
	if err := os.MkdirAll(path, 0o755); err != nil {
		return reel{}, mendedError{err, "name a folder that can be written to"}
	}
	n := 0
	return reel{
		add: func(img image.Image) error {
			n++
			return writePNG(filepath.Join(path, fmt.Sprintf("%05d.png", n)), img)
		},
		close: func() error { return nil },
	}, nil
}

// newFilm hands raw frames to ffmpeg.
func newFilm(cmd *cobra.Command, path string, fps float64) (reel, error) {
	tool, err := exec.LookPath("ffmpeg")
	if err != nil {
		return reel{}, mendedError{errors.New("a film needs ffmpeg, which is not installed"), "install it, or give -o a folder for numbered pictures"}
	}
	var run *exec.Cmd
	var in io.WriteCloser
	return reel{
		add: func(img image.Image) error {
			frame, ok := img.(*image.NRGBA)
			if !ok {
				return fmt.Errorf("a frame of type %T", img)
			}
			if run == nil {
				run = exec.CommandContext(cmd.Context(), tool, "-loglevel", "error", "-y", "-f", "rawvideo", "-pixel_format", "rgba",
					"-video_size", fmt.Sprintf("%dx%d", frame.Rect.Dx(), frame.Rect.Dy()), "-framerate", fmt.Sprint(fps), "-i", "-",
					"-vf", "pad=ceil(iw/2)*2:ceil(ih/2)*2", "-pix_fmt", "yuv420p", path)
				run.Stderr = cmd.ErrOrStderr()
				if in, err = run.StdinPipe(); err != nil {
					return err
				}
				if err := run.Start(); err != nil {
					return err
				}
			}
			_, err := in.Write(frame.Pix)
			return err
		},
		close: func() error {
			if run == nil {
				return nil
			}
			return errors.Join(in.Close(), run.Wait())
		},
	}, nil
}

// tellProgress says how far the film is, on a terminal.
func tellProgress(w io.Writer, n, of int) {
	if !isTerminal(w) {
		return
	}
	fmt.Fprintf(w, "\rframe %d of %d", n, of)
	if n == of {
		fmt.Fprintln(w)
	}
}
