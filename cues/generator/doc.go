// Package generator makes the tables that move light: shares of the way from
// rest (0) to the far end (track.Whole), gone through again and again. A table
// follows from a few numbers alone, worked in whole numbers, so that it is the
// same on any machine: the same seed gives the same take.
//
// A wave's table is one period. A noise's is a minute or more of [Rate] entries a
// second, see [Long]; it ends where it begins, so that it can be repeated. The
// noises are models, their shapes common practice, no source:
//
//	flame      lingers at rest and dips toward the far end, of three sizes: the
//	           larger takes a period, the smaller a half and a quarter
//	screen     shots of a quarter to twice the period, a period on the average,
//	           each somewhere on the way, cut in no time, and drifting a little
//	lightning  at the far end between strikes; a strike is one to three strokes
//	           to rest, 90 to 250 ms apart, each dying away in about a fifth of
//	           a second; strikes come a period apart, up to a quarter earlier or
//	           later
//	passing    at the far end between lights; a light swells to rest and away
//	           within its width, seven tenths to all of the way; lights come
//	           a period apart, up to a quarter earlier or later
package generator
