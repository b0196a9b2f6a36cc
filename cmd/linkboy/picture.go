package main

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// pictureFlags are the flags of `linkboy picture`.
type pictureFlags struct {
	out, setup string
	width      int
	glow       float64
	bands      bool
}

// Sizes of pictures.
const widthLeast, widthMost = 16, 4096

func newPicture() *cobra.Command {
	var f pictureFlags
	cmd := &cobra.Command{
		Use:   "picture SHOW LOCATION LOOK -o F.png",
		Short: "What the camera sees of a look, from light computed for the place",
		Long: `Computes how light gets about in a location and draws what the camera of a set-up
sees of a look, exposed as the show's camera is. The light is that of the
channel bytes which the look sends.

Surfaces are matt, lamps throw no shadow, and the shown level is the first part
of a second: what a lens or a filter does is an impression (--glow).`,
		Example: "  linkboy picture my-show first-place ada -o ada.png\n  linkboy picture my-show first-place ada --setup wide --bands -o stops.png",
		Args:    exactly("SHOW", "LOCATION", "LOOK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			return runPicture(cmd, show, args[1], args[2], f)
		},
	}
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "the .png file to write")
	cmd.Flags().StringVar(&f.setup, "setup", "", "set-up whose camera looks (default: the location's first)")
	cmd.Flags().IntVar(&f.width, "width", 960, "width in pixels; the height follows, 16:9")
	cmd.Flags().Float64Var(&f.glow, "glow", 0, "share of light that a mist filter spreads, 0 to 0.5")
	cmd.Flags().BoolVar(&f.bands, "bands", false, "show stops over and under grey as bands")
	return cmd
}

func runPicture(cmd *cobra.Command, show *cues.Show, location, look string, f pictureFlags) error {
	switch {
	case filepath.Ext(f.out) != ".png":
		return usageError{mendedError{fmt.Errorf("no picture to write: %q", f.out), "add -o and a name that ends in .png"}}
	case f.width < widthLeast || f.width > widthMost:
		return usageError{mendedError{fmt.Errorf("a picture cannot be %d pixels wide", f.width), fmt.Sprintf("give --width of %d to %d", widthLeast, widthMost)}}
	case !(f.glow >= 0 && f.glow <= 0.5):
		return usageError{mendedError{fmt.Errorf("a glow of %g", f.glow), "give --glow of 0 to 0.5"}}
	}
	scene, err := sceneOf(cmd, show, location, look, f.setup)
	if err != nil {
		return err
	}
	frame, err := shoot(cmd.Context(), scene, f)
	if err != nil {
		return err
	}
	shot := show.Shot(scene.setup)
	view, err := shot.View()
	if err != nil {
		return err
	}
	if err := writePNG(f.out, develop(frame, shot.Over, view.Matrix(), f)); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s at %s from set-up %s: drawn in %s\n", look, location, scene.setup.Name, f.out)
	return nil
}

// shoot exposes the frame that the bytes on the wire make.
func shoot(ctx context.Context, s *scene, f pictureFlags) (*picture.Frame, error) {
	set, lit := s.set, s.lit
	c := set.Plan.Show.Shot(s.setup)
	shot, err := picture.NewShot(ctx, lit, set.Place.Sources, set.Faces, set.Camera(s.setup), f.width, int(float64(f.width)/picture.Wide+0.5))
	if err != nil {
		return nil, err
	}
	view, err := c.View()
	if err != nil {
		return nil, err
	}
	cells := make([]camera.Response, len(set.Plan.Cells))
	stage.NewEye(set, view).See(s.slots, cells)
	l, frame := picture.NewLight(lit.Map()), shot.NewFrame()
	l.Set(lit.Map(), cells)
	shot.Expose(l, c.KeyLux(), frame)
	picture.Glow(frame, f.glow)
	return frame, nil
}

func develop(frame *picture.Frame, over float64, matrix camera.Matrix, f pictureFlags) image.Image {
	if f.bands {
		return picture.DevelopBands(frame, over)
	}
	return picture.NewCurve(over, matrix).Develop(frame, nil)
}

func writePNG(path string, img image.Image) (err error) {
	file, err := os.Create(path)
	if err != nil {
		return mendedError{err, "name a file in a folder that can be written to"}
	}
	defer func() {
		if closeErr := file.Close(); err == nil {
			err = closeErr
		}
	}()
	return png.Encode(file, img)
}
