package flicker

import "math"

// PWM is a light that is dimmed by being full on for a share of every period.
type PWM struct {
	// Hz is the frequency, above 0: 100 Hz to 1 kHz in general lamps, tens of
	// kHz in good video lights.
	Hz float64
	// Duty is the share of a period that it is on: over 0 and up to 1.
	Duty float64
}

// On returns the least and the most time that the light is on within an
// exposure, in periods, over all moments at which it may start. With n = f t
// periods and their fraction r:
//
//	least = ⌊n⌋ D + max(0, r + D - 1),  most = ⌊n⌋ D + min(r, D)
func (p PWM) On(seconds float64) (least, most float64) {
	whole, rest := math.Modf(p.Hz * seconds)
	return whole*p.Duty + max(0, rest+p.Duty-1), whole*p.Duty + min(rest, p.Duty)
}

// SwingStops returns the stops between the brightest and the darkest frame, in
// the worst case. It is infinite where a frame may miss the light, and 0 where
// an exposure holds whole periods. About 1/n of n periods at most, so n over
// 100 keeps it under 0.015.
//
// 1 kHz at 10 % in 1/240 s: 0.32 stop.
func (p PWM) SwingStops(seconds float64) float64 {
	least, most := p.On(seconds)
	if most == 0 {
		return 0
	}
	return math.Log2(most / least)
}

// Light returns the least and the most light of an exposure, in periods of full light, of
// a lamp that keeps a share of its light between the pulses: 0 for one that goes out.
func (p PWM) Light(seconds, between float64) (least, most float64) {
	least, most = p.On(seconds)
	all := p.Hz * seconds
	return least + between*(all-least), most + between*(all-most)
}

// DutyFor returns the share of a period that a lamp must be full on to give a share of its
// light, when it keeps a share between the pulses; 0 where that alone is as much or more.
func DutyFor(light, between float64) float64 {
	if !(between < 1) {
		return 0
	}
	return min(max((light-between)/(1-between), 0), 1)
}

// LeastVisibleStops is the swing from which people begin to see bars or
// pulsing: 1 % of light; some say 2 % (common practice, no source).
const LeastVisibleStops = 0.0144
