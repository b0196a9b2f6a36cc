// Package flicker says what a camera makes of light that is not steady: mains
// lamps that pulse, LEDs that are dimmed by pulses, and a set that flips in the
// middle of a frame.
//
// From a light and a shutter to an answer:
//
//	SafeAngles, NearestSafeAngle
//	             shutter angles at which every frame holds whole pulses
//	Beat         how fast the picture pulses at any other angle
//	Sine, PWM    what is left of the pulses in a frame, in share or stops
//	DutyFor      the pulses of a lamp that is dimmed to a share of its light
//	Bars         how many bars a rolling shutter draws of a pulsing light
//	Shot         which share of frames shows an instant flip split or blended
//
// Frequencies wander: a generator's by percents, and 23.976 is not 24. PWM often
// changes its frequency with level and mode, so reckon with the dimmest level that
// is used and the fastest frame rate, and look at a test clip.
//
// Units: Hz, frames a second, seconds, shutter angles in degrees. Functions are
// pure and check nothing: what is said to be above 0 must be. Everything may be
// used from any goroutine.
//
// The formulae are those of integrating a periodic light over an exposure; the
// rules of thumb beside them are common practice and say so.
package flicker
