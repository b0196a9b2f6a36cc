package play

import "time"

// eventRoom is how many events wait for their reader before new ones are lost.
const eventRoom = 64

// EventKind says what happened to a fade.
type EventKind uint8

// The kinds of event.
const (
	// Started: the first frame of the fade is out.
	Started EventKind = iota + 1
	// Done: the fade has reached its end and the frame that shows it is out. A
	// fade that another one replaces is never done.
	Done
	// Refused: the fade was not started because the location was switched
	// between the call of Start and its turn.
	Refused
)

func (k EventKind) String() string {
	switch k {
	case Started:
		return "started"
	case Done:
		return "done"
	case Refused:
		return "refused"
	}
	return "no event"
}

// Event is something that happened to a fade.
type Event struct {
	Kind   EventKind
	FadeID uint64
	At     time.Time // when it began or ended by the clock, not by the frame that shows it
}

// Events is where the engine tells what happened. It never waits for the
// reader: if 64 events stand unread, further ones are lost and counted in
// Snapshot.EventsLost. There is one channel, for one reader; it is never closed.
func (e *Engine) Events() <-chan Event { return e.events }

func (e *Engine) tell(kind EventKind, id uint64, at time.Time) {
	select {
	case e.events <- Event{Kind: kind, FadeID: id, At: at}:
	default:
		e.eventsLost++
	}
}
