package exposure

import "math"

// Settings is how a camera is set: all above 0.
type Settings struct {
	// ISO is the sensitivity, ISO or exposure index.
	ISO float64
	// Stop is the T-stop, or the f-number of a lens that has no T-stops.
	Stop float64
	// Seconds is the exposure time; see ShutterSeconds.
	Seconds float64
}

// EV returns the exposure value log2(N²/t) of stop and time [ISO 2720]. It
// says nothing of the sensitivity.
func (s Settings) EV() float64 { return math.Log2(s.Stop * s.Stop / s.Seconds) }

// EV100 returns the exposure value that exposes the same light at ISO 100:
// EV - log2(ISO/100). It is a measure of light: see Meter.LuxAt.
//
// ISO 800, T2.8 (2.828) and 1/48 s: EV 8.585, EV100 5.585.
func (s Settings) EV100() float64 { return s.EV() - math.Log2(s.ISO/100) }

// WholeStop returns the k-th whole stop from 1, √2^k: WholeStop(3) is 2.828.
func WholeStop(k int) float64 { return math.Exp2(float64(k) / 2) }

// Engraved returns the whole stop that a ring's engraving stands for, such as
// 2.828 for 2.8, and any other number as it is. Taken as written 2.8 is 0.03
// stop off.
func Engraved(mark float64) float64 {
	k := math.Round(2 * math.Log2(mark))
	if whole := WholeStop(int(k)); math.Abs(Stops(mark/whole)) < roundedMark {
		return whole
	}
	return mark
}

// roundedMark is more than the engraving of any whole stop is rounded by, in
// stops of the opening's width: 0.04 at 11 and 22, 0.014 at 1.4, 2.8 and 5.6.
const roundedMark = 0.045
