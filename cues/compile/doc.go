// Package compile turns the show model into what the engine plays: a location
// into a layout of slots, a look into a still, a change into a fade. All
// solving of colours happens here, ahead of time, on the caller's goroutine.
// Everything it returns depends only on what it is given.
//
// A fade is drawn in OKLab, cell by cell, along one of the paths of cues.Path;
// its knots are set so close that what is played differs by less than a
// CIEDE2000 of 1 from what was drawn. Stepping tells how smooth a fade is for
// the lamps' bits and the camera's frames, and CheckCues where that is seen.
//
// A set-up changes looks in one order: a swap first decides which lamps do the job of
// each group that the look names, also of the group that a level is measured under; a
// mirror turns the order of their cells; then levels at marks are solved, as without
// any trim; then trims move the levels, so that "back 1.5 stops under key" stays where
// it was when the key is trimmed. Policies and match are those of the lamps' own group.
package compile
