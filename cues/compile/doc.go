// Package compile turns the show model into what the engine plays: a location
// into a layout of slots, a look into a still, a change into a fade. All
// solving of colours happens here, ahead of time, on the caller's goroutine.
// Everything it returns depends only on what it is given.
//
// A fade is drawn in OKLab, cell by cell, along one of the paths of cues.Path;
// its knots are set so close that what is played differs by less than a
// CIEDE2000 of 1 from what was drawn. Stepping tells how smooth a fade is for
// the lamps' bits and the camera's frames, and CheckCues where that is seen.
package compile
