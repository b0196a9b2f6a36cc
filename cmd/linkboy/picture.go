package main

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// pictureFlags are the flags of `linkboy picture`.
type pictureFlags struct {
	out, setup string
	width, cue int
	glow       float64
	haze       string
	hazeShare  float64 // as haze says
	bands      bool
}

// percent reads a share like 10%.
func percent(text string) (float64, error) {
	number, ok := strings.CutSuffix(text, "%")
	if !ok {
		return 0, errors.New("it has no % behind it")
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return v / 100, err
}

// Sizes of pictures.
const widthLeast, widthMost = 16, 4096

func newPicture() *cobra.Command {
	var f pictureFlags
	cmd := &cobra.Command{
		Use:   "picture SHOW LOCATION [LOOK] -o F.png",
		Short: "What the camera sees of a look, from light computed for the place",
		Long: `Computes how light gets about in a location and draws what the camera of a set-up
sees of a look, exposed as that camera is. The light is that of the channel bytes
which the look sends. Without a look it draws all looks of the location on one
sheet; with --cue the fade of a cue, as numbered pictures in a folder or, where
ffmpeg is installed, as a film.

Surfaces are matt and lamps throw no shadow. What a filter does is an impression
(--glow), and so is haze (--haze): it lifts blacks and shows beams, but real haze
drifts and is never even. Before haze runs, tell everyone, and ventilate.`,
		Example: `  linkboy picture my-show first-place ada -o ada.png
  linkboy picture my-show first-place ada --setup wide --bands -o stops.png
  linkboy picture my-show first-place ada --haze 10% -o hazy.png
  linkboy picture my-show first-place -o looks.png
  linkboy picture my-show first-place --cue 3 -o turn.mp4`,
		Args: exactly("SHOW", "LOCATION", "[LOOK]"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(len(args) == 3); err != nil {
				return err
			}
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			return runPicture(cmd, show, args[1:], f)
		},
	}
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "the .png file to write; with --cue a folder or a .mp4 file")
	cmd.Flags().StringVar(&f.setup, "setup", "", "set-up whose camera looks (default: the location's first)")
	cmd.Flags().IntVar(&f.width, "width", 0, "width in pixels; the height follows, 16:9 (default 960, and 320 on a sheet)")
	cmd.Flags().Float64Var(&f.glow, "glow", 0, "share of light that a mist filter spreads, 0 to 0.5")
	cmd.Flags().StringVar(&f.haze, "haze", "0%", "share of light that haze takes on 10 m of its way, 0% to 90%; an impression")
	cmd.Flags().BoolVar(&f.bands, "bands", false, "show stops over and under grey as bands")
	cmd.Flags().IntVar(&f.cue, "cue", 0, "draw the fade of this cue, frame by frame")
	return cmd
}

// check refuses what cannot be drawn, and fills in the width.
func (f *pictureFlags) check(look bool) error {
	if f.width == 0 {
		f.width = 960
		if !look && f.cue == 0 {
			f.width = 320
		}
	}
	ext := filepath.Ext(f.out)
	var err error
	f.hazeShare, err = percent(f.haze)
	switch {
	case err != nil || !(f.hazeShare >= 0 && f.hazeShare <= stage.HazeMost):
		return usageError{mendedError{fmt.Errorf("a haze of %q", f.haze), "give --haze of 0% to 90%, like --haze 10%"}}
	case f.cue == 0 && ext != ".png":
		return usageError{mendedError{fmt.Errorf("no picture to write: %q", f.out), "add -o and a name that ends in .png"}}
	case f.cue != 0 && look:
		return usageError{mendedError{errors.New("a look and a cue"), "leave out the look: the cue has one"}}
	case f.cue != 0 && f.out == "":
		return usageError{mendedError{errors.New("nowhere to put the frames"), "add -o and a folder, or a name that ends in .mp4"}}
	case f.width < widthLeast || f.width > widthMost:
		return usageError{mendedError{fmt.Errorf("a picture cannot be %d pixels wide", f.width), fmt.Sprintf("give --width of %d to %d", widthLeast, widthMost)}}
	case !(f.glow >= 0 && f.glow <= 0.5):
		return usageError{mendedError{fmt.Errorf("a glow of %g", f.glow), "give --glow of 0 to 0.5"}}
	}
	return nil
}

// runPicture draws a look, all looks, or a cue.
func runPicture(cmd *cobra.Command, show *cues.Show, args []string, f pictureFlags) error {
	place, err := placeOf(cmd, show, args[0])
	if err != nil {
		return err
	}
	if len(args) == 2 && show.Look(place.Location, args[1]) == nil {
		return noSuch("look", args[1], show.LookNames(place.Location))
	}
	scene, err := emptyScene(cmd, place, f.setup)
	if err != nil {
		return err
	}
	studio, err := newStudio(cmd, scene, f)
	if err != nil {
		return err
	}
	what := "all looks"
	switch {
	case f.cue != 0:
		what = fmt.Sprintf("cue %d", f.cue)
		err = studio.film(cmd, f)
	case len(args) == 1:
		err = studio.sheet(cmd, f.out)
	default:
		what = args[1]
		if err = scene.wear(cmd, args[1]); err == nil {
			err = writePNG(f.out, studio.draw(scene.slots))
		}
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s at %s from set-up %s: drawn in %s\n", what, args[0], scene.setup.Name, f.out)
	return nil
}

// studio draws one scene from one camera, in any light.
type studio struct {
	scene *scene
	flags pictureFlags
	shot  *picture.Shot
	eye   *stage.Eye
	cells []camera.Response
	light *picture.Light
	frame *picture.Frame
	curve *picture.Curve
	key   float64 // lux
	over  float64 // stops
}

func newStudio(cmd *cobra.Command, s *scene, f pictureFlags) (*studio, error) {
	c := s.set.Plan.Show.Shot(s.setup)
	shot, err := picture.NewShot(cmd.Context(), s.lit, s.set.Place.Sources, s.set.Lamps, s.set.Camera(s.setup), f.width, int(float64(f.width)/picture.Wide+0.5))
	if err != nil {
		return nil, err
	}
	if f.hazeShare > 0 {
		air, err := s.set.Haze(s.setup, f.hazeShare).Compute(cmd.Context())
		if err != nil {
			return nil, err
		}
		shot = shot.InHaze(air)
	}
	view, err := c.View()
	if err != nil {
		return nil, err
	}
	return &studio{
		scene: s, flags: f, shot: shot, eye: stage.NewEye(s.set, view), cells: make([]camera.Response, len(s.set.Place.Sources)),
		light: picture.NewLight(s.lit.Map()), frame: shot.NewFrame(), curve: picture.NewCurve(c.Over, view.Matrix()), key: c.KeyLux(), over: c.Over,
	}, nil
}

// draw exposes what the bytes on the wire make.
func (s *studio) draw(slots [][]byte) image.Image {
	s.eye.See(slots, s.cells)
	s.light.Set(s.scene.lit.Map(), s.cells)
	s.shot.Expose(s.light, s.key, s.frame)
	picture.Glow(s.frame, s.flags.glow)
	if s.flags.bands {
		return picture.DevelopBands(s.frame, s.over)
	}
	return s.curve.Develop(s.frame, nil)
}

// sheetColumns is how many pictures a row of a sheet has.
const sheetColumns = 3

// sheet draws all looks of the location on one sheet.
func (s *studio) sheet(cmd *cobra.Command, path string) error {
	var pictures []picture.Named
	for _, look := range s.scene.place.Show.LookNames(s.scene.place.Location) {
		if err := s.scene.wear(cmd, look); err != nil {
			return err
		}
		pictures = append(pictures, picture.Named{Name: look, Image: s.draw(s.scene.slots)})
	}
	sheet, err := picture.Sheet(pictures, sheetColumns)
	if err != nil {
		return err
	}
	return writePNG(path, sheet)
}

func writePNG(path string, img image.Image) error {
	return writeFile(path, func(w io.Writer) error { return png.Encode(w, img) })
}

// writeFile makes a file of what write writes.
func writeFile(path string, write func(io.Writer) error) (err error) {
	file, err := os.Create(path)
	if err != nil {
		return mendedError{err, "name a file in a folder that can be written to"}
	}
	defer func() {
		if closeErr := file.Close(); err == nil {
			err = closeErr
		}
	}()
	return write(file)
}
