package play

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"linkboy/cues/track"
)

// DefaultRate is the frame rate where none is given, in frames a second: as
// fast as a full universe of DMX512 goes over its cable (ANSI E1.11: 44 Hz).
const DefaultRate = 44

// Config is what an Engine needs.
type Config struct {
	Rate   int    // frames a second, 1..1000; 0 is DefaultRate
	Output Output // where frames go; nil is nowhere
	// Preview takes the frames of a dry run, none as a first one; nil for
	// nobody. It is called as Output is and may be a part of it.
	Preview Output
	Waiter  Waiter // how the loop sleeps; nil is Timers. No two engines share one
}

// Engine plays compiled fades. Its methods may be called from any goroutine;
// what they ask for happens in the loop, in the order it was asked.
type Engine struct {
	commands chan command
	events   chan Event
	stopped  chan struct{} // closed when Run returns
	waiter   Waiter
	ran      atomic.Bool
	ids      atomic.Uint64
	board    board
	shown    atomic.Uint64 // version of the newest snapshot's bytes

	// All that follows belongs to the loop.
	output  Output
	preview Output
	grid    grid
	place   *place
	parted  *place // the newest of those left behind, with slots still to be darkened
	fading  fading
	overall float32
	killed  bool
	dry     bool
	dark    bool
	waiters []chan struct{}

	floor     float32 // share of floor light now, 0..1
	floorFrom float32 // share when the fade began
	frozen    bool    // movement is held
	moved     bool    // the state does not show the progress yet
	stale     bool    // the bytes do not show the state yet
	version   uint64  // of the bytes

	// About the next frame.
	first   bool      // the output is told that it is the first of a cue
	atOnce  bool      // it does not wait for its time
	given   time.Time // when the command was given that does not wait
	started bool      // it shows a new fade
	done    time.Time // it shows the end of a fade, at this time

	frames     uint64
	frameAt    time.Time
	skipped    uint64
	late       lateness
	firsts     lateness // how long first frames take
	minute     lastMinute
	sendErrors uint64
	sendError  error
	eventsLost uint64
}

// New makes an engine with nothing loaded. It does nothing until Run; commands
// given before that wait for it, up to 64 of them.
func New(cfg Config) *Engine {
	rate := cfg.Rate
	if rate == 0 {
		rate = DefaultRate
	}
	e := &Engine{
		commands: make(chan command, commandRoom),
		events:   make(chan Event, eventRoom),
		stopped:  make(chan struct{}),
		waiter:   cfg.Waiter,
		output:   cfg.Output,
		preview:  cfg.Preview,
		grid:     grid{rate: int64(min(max(rate, 1), 1000))},
		place:    newPlace(&track.Layout{}, nil),
		overall:  1,
		waiters:  make([]chan struct{}, 0, commandRoom+1),
		floor:    1,
		stale:    true,
		first:    true,
	}
	if e.waiter == nil {
		e.waiter = Timers()
	}
	e.fading.progress = 1
	e.board.init()
	e.publish()
	return e
}

// Run is the loop. It renders a frame and hands it to the Output at the rate,
// also while nothing changes (the Output decides what to send), until ctx ends;
// then it stops what must not go on with nobody there, such as fog, and returns
// nil. An engine runs once.
func (e *Engine) Run(ctx context.Context) error {
	if e.ran.Swap(true) {
		return errors.New("play: the engine has been run before: make a new one")
	}
	defer close(e.stopped)
	e.waiter.Begin()
	defer e.waiter.End()
	defer context.AfterFunc(ctx, e.waiter.Wake)()
	e.begin(time.Now())
	for ctx.Err() == nil {
		e.waiter.Wait(e.turn(time.Now()))
	}
	e.stop()
	return nil
}
