// Package play is the engine: it decides when a frame is due, renders it from
// compiled tracks and hands it to an Output. It never solves, allocates, logs,
// or waits on a person's socket or a disk.
package play

// Output takes frames. SendFrame is called from the engine's own goroutine
// with the whole frame: slots[i] are the bytes for port-address addresses[i].
// It must return quickly and must not keep or change what it is given. first
// is set on the first frame of a cue, which goes out even where nothing changed.
type Output interface {
	SendFrame(addresses []uint16, slots [][]byte, first bool) error
}
