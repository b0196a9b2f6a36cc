// Package compile turns the show model into what the engine plays: a location
// into a layout of slots, a look into a still, a change into a fade. All
// solving of colours happens here, ahead of time, on the caller's goroutine.
// Everything it returns depends only on what it is given.
package compile
