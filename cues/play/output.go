// Package play is the engine: it decides when a frame is due, renders it from
// compiled tracks and hands it to an Output. It never solves, allocates, logs,
// or waits on a person's socket or a disk.
//
// An [Engine] is a loop, run by [Engine.Run], and methods that send it commands
// through a queue. Frame k is due at start + k/rate in whole nanoseconds; a
// command that begins a cue makes a new start, so that its first frame goes out
// at once. The state goes out as the newest [Snapshot], and what happened to a
// fade as an [Event]; the loop waits for the reader of neither.
package play

// Output takes frames. SendFrame is called from the engine's own goroutine
// with the whole frame: slots[i] are the bytes for port-address addresses[i].
// It must return quickly, as the loop waits for it, and must not keep or change
// what it is given, as the next frame is written into the same bytes. first is
// set on the first frame of a cue, which goes out even where nothing changed;
// otherwise the frame comes at the rate whether it has changed or not, and the
// output decides what to send. A frame may have no universes, and other
// universes than the last one; when a location is left, frames of what only it
// had come between. An error is counted and shown in Snapshot, and
// the next frame comes all the same. SendFrame is never called twice at once.
//
// Package playtest checks that an Output keeps to this.
type Output interface {
	SendFrame(addresses []uint16, slots [][]byte, first bool) error
}
