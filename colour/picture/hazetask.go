package picture

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"linkboy/colour/transport"
)

// The form in which haze tasks are sent and told apart: a line of JSON, hazeHead, and
// after it the place as an encoded transport.Task.

// hazeVersion is raised when Compute comes to another air for the same task.
const hazeVersion = 1

// hazeHead is all of a task but its place.
type hazeHead struct {
	Version int     `json:"haze"`
	Lamps   [][]int `json:"lamps"`
	Camera  Camera  `json:"camera"`
	Share   float64 `json:"share"`
}

// ErrHazeTask is what is no haze task, or one of another version.
var ErrHazeTask = errors.New("this is no air to compute")

// AppendBinary appends the task in its encoded form to b. The errors are those of the
// encoded place, and of a camera or a share that is no number.
func (t HazeTask) AppendBinary(b []byte) ([]byte, error) {
	head, err := json.Marshal(hazeHead{hazeVersion, t.Lamps, t.Camera, t.Share})
	if err != nil {
		return b, fmt.Errorf("%w: %w", ErrHazeTask, err)
	}
	return transport.Task{Place: t.Place}.AppendBinary(append(append(b, head...), '\n'))
}

// ParseHazeTask reads an encoded task. It keeps nothing of b. The error wraps ErrHazeTask.
func ParseHazeTask(b []byte) (HazeTask, error) {
	first, place, ok := bytes.Cut(b, []byte{'\n'})
	var head hazeHead
	if !ok || json.Unmarshal(first, &head) != nil || head.Version != hazeVersion {
		return HazeTask{}, ErrHazeTask
	}
	task, err := transport.ParseTask(place)
	if err != nil {
		return HazeTask{}, fmt.Errorf("%w: %w", ErrHazeTask, err)
	}
	if !(head.Share >= 0 && head.Share < 1) {
		return HazeTask{}, fmt.Errorf("%w: it takes a share of %g", ErrHazeTask, head.Share)
	}
	of := make([]bool, len(task.Place.Sources))
	for _, lamp := range head.Lamps {
		for _, k := range lamp {
			if k < 0 || k >= len(of) || of[k] {
				return HazeTask{}, fmt.Errorf("%w: a lamp of it has the source %d", ErrHazeTask, k)
			}
			of[k] = true
		}
	}
	return HazeTask{Place: task.Place, Lamps: head.Lamps, Camera: head.Camera, Share: head.Share}, nil
}
