package play

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"linkboy/cues/track"
)

const (
	// commandRoom is how many commands wait for the loop. It takes all of them
	// each time it wakes, so they only pile up while an Output blocks.
	commandRoom = 64
	// commandPatience is how long a caller waits for room.
	commandPatience = time.Second
)

// A command that does not reach the loop says so with one of these.
var (
	// ErrStopped: Run has ended.
	ErrStopped = errors.New("play: the engine has stopped; nothing moves the lamps any more")
	// ErrBusy: the loop has not taken a command for a second.
	ErrBusy = errors.New("play: the engine has not taken a command for 1 s: its output blocks, or it was never run")
)

type commandKind uint8

const (
	doLoad commandKind = iota
	doReplace
	doStart
	doHold
	doResume
	doRide
	doSnap
	doOverall
	doKill
	doDry
	doOutput
	doWait
)

// command is a message to the loop. It is sent by value, so that neither side
// allocates.
type command struct {
	kind   commandKind
	on     bool
	value  float64
	opt    StartOptions
	id     uint64
	fade   *track.Fade
	place  *place
	over   time.Duration
	output Output
	done   chan struct{}
	given  time.Time
}

// StartOptions say how a fade starts. The zero value runs it from its beginning
// with floor light.
type StartOptions struct {
	At       float64 // progress to start at, 0..1
	Hold     bool    // hold it there until Resume
	Dark     bool    // this fade may go under floor light
	RideOnly bool    // only Ride and Snap move it; time and Resume do not
	// Motion is the movement of the look that the fade leads to, nil for none. It
	// must not be changed from now on. It comes in with the fade and begins with
	// the fade's first frame; with GoOn, one that is on already goes on instead.
	Motion *track.Motion
	GoOn   bool
}

// Load switches to a location: its layout, in the state s, at once. No fade
// runs afterwards, floor light is on, and a kill stays. Slots that only the
// location before had are darkened in frames of their own. Neither l nor its parts
// may be changed from now on; s is copied. It returns an error if they do not
// fit each other, ErrBusy or ErrStopped.
func (e *Engine) Load(l *track.Layout, s track.Still) error { return e.LoadMoving(l, s, nil) }

// LoadMoving is Load with the movement of the state s, which begins with the
// first frame; nil is none. It must not be changed from now on.
func (e *Engine) LoadMoving(l *track.Layout, s track.Still, m *track.Motion) error {
	p, err := loadable(l, s, m)
	if err != nil {
		return err
	}
	return e.send(command{kind: doLoad, place: p})
}

// loadable makes a place ready for the loop.
func loadable(l *track.Layout, s track.Still, m *track.Motion) (*place, error) {
	if err := l.Validate(); err != nil {
		return nil, fmt.Errorf("play: load a location: %w", err)
	}
	if err := s.Validate(len(l.Slots)); err != nil {
		return nil, fmt.Errorf("play: load a location: %w", err)
	}
	if err := m.Validate(len(l.Slots)); err != nil {
		return nil, fmt.Errorf("play: load a location: %w", err)
	}
	p := newPlace(l, s)
	p.add(m)
	return p, nil
}

// Start runs a fade from what is on now; f must not be changed from now on. If
// what is on is not f.From, the difference fades out on the way and nothing
// jumps, see [track.Fade.AtFrom]. Its first frame goes out at once. A kill
// ends, and the fade then begins in the dark.
//
// With Dark, floor light goes out over the fade and stays out until another fade
// brings it back over its own length.
//
// The id names the fade in events and snapshots; ids ascend from 1. A fade that
// does not fit itself or an At outside 0..1 is refused with an error; one for
// another layout than the loaded one with a Refused event.
func (e *Engine) Start(f *track.Fade, opt StartOptions) (id uint64, err error) {
	if err := f.Validate(len(f.To)); err != nil {
		return 0, fmt.Errorf("play: start a fade: %w", err)
	}
	if err := opt.Motion.Validate(len(f.To)); err != nil {
		return 0, fmt.Errorf("play: start a fade: %w", err)
	}
	if !(opt.At >= 0 && opt.At <= 1) {
		return 0, fmt.Errorf("play: start a fade at progress %v: want 0..1", opt.At)
	}
	id = e.ids.Add(1)
	return id, e.send(command{kind: doStart, fade: f, opt: opt, id: id})
}

// Hold stops the running fade and all movement where they are; time stands still
// for them. Without either it does nothing.
func (e *Engine) Hold() error { return e.send(command{kind: doHold}) }

// Resume lets a held or ridden fade, and movement that is held, run on from
// where they are.
func (e *Engine) Resume() error { return e.send(command{kind: doResume}) }

// Ride puts the running fade at a progress 0..1 and holds it there, also at 1,
// until Resume, Snap or another Ride; movement goes on meanwhile. Without a
// running fade it does nothing.
func (e *Engine) Ride(progress float64) error {
	if math.IsNaN(progress) {
		return errors.New("play: ride to NaN: want 0..1")
	}
	return e.send(command{kind: doRide, value: min(max(progress, 0), 1)})
}

// Snap ends the running fade at once. Without a running fade it does nothing.
func (e *Engine) Snap() error { return e.send(command{kind: doSnap}) }

// Overall sets the level 0..1 over all light, from the next frame on. It is 1
// at the start.
func (e *Engine) Overall(v float64) error {
	if math.IsNaN(v) {
		return errors.New("play: set overall to NaN: want 0..1")
	}
	return e.send(command{kind: doOverall, value: min(max(v, 0), 1)})
}

// Kill turns everything off at once, floor light too, with all parameters at
// their safe values; or, with false, brings back at once what is on underneath.
// Fades go on underneath a kill; Start ends it.
func (e *Engine) Kill(on bool) error { return e.send(command{kind: doKill, on: on}) }

// Dry starts or ends a dry run: everything runs, but no frame goes to the Output.
func (e *Engine) Dry(on bool) error { return e.send(command{kind: doDry, on: on}) }

// SetOutput changes where frames go; nil is nowhere. The new output is first
// called with a whole first frame.
func (e *Engine) SetOutput(o Output) error { return e.send(command{kind: doOutput, output: o}) }

// Wait returns when every command this goroutine gave before has taken effect
// and can be seen in a Snapshot. It returns the error of ctx, ErrBusy or
// ErrStopped if that does not come about.
func (e *Engine) Wait(ctx context.Context) error {
	done := make(chan struct{})
	if err := e.send(command{kind: doWait, done: done}); err != nil {
		return err
	}
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	case <-e.stopped:
		return ErrStopped
	}
}

// send puts a command into the queue. When the queue is full it waits a second
// at most; a command is never dropped without an error.
func (e *Engine) send(c command) error {
	c.given = time.Now()
	select {
	case <-e.stopped:
		return ErrStopped
	default:
	}
	select {
	case e.commands <- c:
		e.waiter.Wake()
		return nil
	default:
	}
	patience := time.NewTimer(commandPatience)
	defer patience.Stop()
	select {
	case e.commands <- c:
		e.waiter.Wake()
		return nil
	case <-e.stopped:
		return ErrStopped
	case <-patience.C:
		return ErrBusy
	}
}
