package server

import (
	"errors"
	"net/http"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/cues/session"
	"linkboy/cues/stage"
	"linkboy/cues/take"
)

// Director is who runs the set: it obeys verbs and says what is on.
// *session.Session is one. Every method may be called from any goroutine and
// returns without waiting for a person or a network; a verb that is refused
// gives a *session.Refusal.
type Director interface {
	Cue(session.CueRequest) error
	Standby(session.Target) error
	Hold() error
	Resume() error
	Snap() error
	Back() error
	Ride(progress float64) error
	Overall(level string) error
	WorkLight(on *bool) error // nil: the other way
	Kill(on bool) error
	Dry(on bool) error
	Location(name string) error
	Setup(session.SetupRequest) error
	Timecode(session.TimecodeRequest) error
	// Take and AsShot wait a few seconds for a disk at most.
	Take(session.TakeRequest) error
	AsShot(session.ShotRequest) error
	// TakeDiffers tells how the set differs from what a take had.
	TakeDiffers(take int64, event int) ([]take.Difference, error)
	Tempo(session.TempoRequest) error
	// Do does one of the verbs for a trigger and tells of it in the state.
	Do(t session.Trigger, verb func() error) error

	State() session.State
	// Subscribe wakes the reader after every change; wakes may fall together.
	Subscribe() (changed <-chan struct{}, cancel func())
	Plan() session.Plan
	// Cells appends to dst[:0] the light of every cell, computed from the
	// bytes on the wire; Y in lumens.
	Cells(dst []colour.XYZ) []colour.XYZ
	// LightVersion changes whenever Cells may. It is asked 25 times a second.
	LightVersion() uint64
	// LookCells is the settled light of every cell in a look.
	LookCells(look string) ([]colour.XYZ, error)
	// Scene is the location as a page draws it from its cameras.
	Scene() (*stage.Scene, error)
	// Seen appends to dst[:0] what every cell gives the channels of the camera,
	// computed from the bytes on the wire.
	Seen(dst []camera.RGB) []camera.RGB
	// LookSeen is Seen of a settled look.
	LookSeen(look string) ([]camera.RGB, error)
	Painter
	// Timeline is the cue sheet laid out in time.
	Timeline(gap string) (session.Timeline, error)
	// CueCells and CueSeen are those in the middle of a cue of the sheet, at a share
	// of its time.
	CueCells(cue int, at float64) ([]colour.XYZ, error)
	CueSeen(cue int, at float64) ([]camera.RGB, error)
	// Frames copies the newest slots of every port-address.
	Frames() (addresses []uint16, slots [][]byte)
}

// refusal makes a problem of a director's refusal; nil for any other error.
func refusal(err error) *Problem {
	r, ok := errors.AsType[*session.Refusal](err)
	if !ok {
		return nil
	}
	status := http.StatusBadRequest
	switch r.Kind {
	case session.Unknown:
		status = http.StatusNotFound
	case session.Conflict:
		status = http.StatusConflict
	}
	return &Problem{status, r.Code, r.Message, r.Where, r.Mend}
}
