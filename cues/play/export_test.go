package play

import "time"

// What the tests of timing and allocation need of the inside.
var (
	Span    = span
	Index   = index
	NewGrid = func(start time.Time, rate int64) *grid { return &grid{start: start, rate: rate} }
)

// CatchUp is the grid's, with the frame that is next.
func (g *grid) CatchUp(now time.Time) (skipped, next int64) { return g.catchUp(now), g.next }

// SetNext makes frame k the next one.
func (g *grid) SetNext(k int64) { g.next = k }

// LatenessWindow is how many frames the histogram remembers.
const LatenessWindow = lateWindow

// Late is the lateness histogram.
type Late = lateness

// Add counts one frame.
func (l *lateness) Add(d time.Duration) { l.add(d) }

// Read is the delays of the last frames.
func (l *lateness) Read() Delay { return *l.read() }

// P99 is the lateness at rank ceil(0.99 n).
func (l *lateness) P99() time.Duration { return l.read().P99 }

// Begin starts the loop without running it: the test calls Turn.
func (e *Engine) Begin(now time.Time) { e.begin(now) }

// Turn is one turn of the loop at a time of the test's choice.
func (e *Engine) Turn(now time.Time) time.Time { return e.turn(now) }

// Period is the time from one frame to the next, rounded down.
func (e *Engine) Period() time.Duration { return span(1, e.grid.rate) }
