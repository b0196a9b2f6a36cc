package picture

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"linkboy/colour/camera"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// The form in which tasks for stills are sent: a line of JSON, stillsHead, after it the
// light map, and after that the place as an encoded transport.Task.

const (
	// stillsVersion is raised when the form changes.
	stillsVersion = 1
	// stillsMost is the most pixels of one picture, and lightsMost the most pictures.
	stillsMost = 1 << 22
	lightsMost = 1 << 12
	// placeRoom is room for most encoded places.
	placeRoom = 1 << 18
)

// stillsHead is all of a task but its light and its place.
type stillsHead struct {
	Version int            `json:"stills"`
	Light   int            `json:"light"` // bytes
	Lamps   []stillsLamp   `json:"lamps"`
	Camera  Camera         `json:"camera"`
	Key     float64        `json:"key"`
	Over    float64        `json:"over"`
	Matrix  camera.Matrix  `json:"matrix"`
	Width   int            `json:"width"`
	Height  int            `json:"height"`
	Cells   [][]camera.RGB `json:"cells"`
}

type stillsLamp struct {
	Face    solid.Form `json:"face"`
	Sources []int      `json:"sources"`
}

// ErrStillsTask is what is no task for pictures, or one of another version.
var ErrStillsTask = errors.New("these are no pictures to draw")

// AppendBinary appends the task in its encoded form to b. The errors are those of the
// encoded place, and of what is no number.
func (t StillsTask) AppendBinary(b []byte) ([]byte, error) {
	h := stillsHead{stillsVersion, len(t.Light), nil, t.Camera, t.Key, t.Over, t.Matrix, t.Width, t.Height, t.Cells}
	for i := range t.Lamps {
		h.Lamps = append(h.Lamps, stillsLamp{t.Lamps[i].Face.Form(), t.Lamps[i].Sources})
	}
	head, err := json.Marshal(h)
	if err != nil {
		return b, fmt.Errorf("%w: %w", ErrStillsTask, err)
	}
	b = slices.Grow(b, len(head)+len(t.Light)+placeRoom) // megabytes, and once only
	b = append(append(append(b, head...), '\n'), t.Light...)
	return transport.Task{Place: t.Place}.AppendBinary(b)
}

// ParseStillsTask reads an encoded task. It keeps b as its light. The error wraps
// ErrStillsTask.
func ParseStillsTask(b []byte) (StillsTask, error) {
	first, rest, ok := bytes.Cut(b, []byte{'\n'})
	var h stillsHead
	if !ok || json.Unmarshal(first, &h) != nil || h.Version != stillsVersion || h.Light < 0 || h.Light > len(rest) {
		return StillsTask{}, ErrStillsTask
	}
	task, err := transport.ParseTask(rest[h.Light:])
	if err != nil {
		return StillsTask{}, fmt.Errorf("%w: %w", ErrStillsTask, err)
	}
	t := StillsTask{
		Place: task.Place, Light: rest[:h.Light:h.Light], Camera: h.Camera, Key: h.Key, Over: h.Over, Matrix: h.Matrix,
		Width: h.Width, Height: h.Height, Cells: h.Cells,
	}
	if t.Lamps, err = h.lamps(len(task.Place.Sources)); err != nil {
		return StillsTask{}, fmt.Errorf("%w: %w", ErrStillsTask, err)
	}
	return t, h.check(len(task.Place.Sources))
}

// lamps gives what is seen of the lamps, of a place with so many sources.
func (h *stillsHead) lamps(sources int) ([]Lamp, error) {
	var all []Lamp
	for _, l := range h.Lamps {
		face, err := l.Face.Surface()
		if err != nil {
			return nil, err
		}
		for _, k := range l.Sources {
			if k < 0 || k >= sources {
				return nil, fmt.Errorf("a lamp has the source %d", k)
			}
		}
		all = append(all, Lamp{face, l.Sources})
	}
	return all, nil
}

func (h *stillsHead) check(sources int) error {
	if h.Width < 1 || h.Height < 1 || h.Width > stillsMost/h.Height || len(h.Cells) > lightsMost {
		return fmt.Errorf("%w: %d of %d by %d", ErrStillsTask, len(h.Cells), h.Width, h.Height)
	}
	if !(h.Key > 0) {
		return fmt.Errorf("%w: for a key of %g lx", ErrStillsTask, h.Key)
	}
	for _, cells := range h.Cells {
		if len(cells) != sources {
			return fmt.Errorf("%w: %d values for %d sources", ErrStillsTask, len(cells), sources)
		}
	}
	return nil
}
