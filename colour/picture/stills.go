package picture

import (
	"context"
	"fmt"
	"image"

	"linkboy/colour/camera"
	"linkboy/colour/transport"
)

// StillsTask asks for pictures of a place in several lights, as one camera sees them.
type StillsTask struct {
	Place *transport.Place
	// Light is the light map of the place, as colour/transport encodes it.
	Light  []byte
	Lamps  []Lamp
	Camera Camera
	Key    float64       // lux that exposes grey as grey
	Over   float64       // stops over grey at which the camera clips
	Matrix camera.Matrix // from camera values to the screen's
	Width  int
	Height int
	// Cells are what the camera makes of every source, light by light.
	Cells [][]camera.RGB
}

// Draw gives a picture for each light, as Curve.Develop does. It fails where there is no
// light map, as Camera does, or when ctx ends.
func (t StillsTask) Draw(ctx context.Context) ([]*image.NRGBA, error) {
	m, err := transport.Parse(t.Light)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStillsTask, err)
	}
	if m.Sources != len(t.Place.Sources) {
		return nil, fmt.Errorf("%w: a light map of %d sources for a place of %d", ErrStillsTask, m.Sources, len(t.Place.Sources))
	}
	lit := transport.NewLit(t.Place, m)
	shot, err := NewShot(ctx, lit, t.Place.Sources, t.Lamps, t.Camera, t.Width, t.Height)
	if err != nil {
		return nil, err
	}
	light, frame, curve := NewLight(m), shot.NewFrame(), NewCurve(t.Over, t.Matrix)
	seen := make([]camera.Response, m.Sources)
	var all []*image.NRGBA
	for _, cells := range t.Cells {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for k := range seen {
			seen[k].RGB = cells[k]
		}
		light.Set(m, seen)
		shot.Expose(light, t.Key, frame)
		all = append(all, curve.Develop(frame, nil))
	}
	return all, nil
}
