package cues

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// TapFit is the tempo of somebody who taps beats.
type TapFit struct {
	BPM  float64       // to a tenth: nobody taps finer
	Beat time.Duration // between two beats, as fitted
	Used int           // taps that count; the others were off the beat
}

// What counts as tapping one tempo (common practice, no source).
const (
	tapBounce  = 200 * time.Millisecond // a tap sooner than this after another is the same one
	tapPause   = 2 * time.Second        // after a longer pause a new set of taps begins
	tapOff     = 0.25                   // share of a beat beside which a tap does not count
	tapMost    = 16                     // the newest taps count
	tapJumpLen = 3                      // so many beats of another length are another tempo
	tapJump    = 0.2                    // share by which they differ
	// LeastTaps is how many taps on the beat a tempo needs.
	LeastTaps = 4
)

// ErrFewTaps and ErrUnevenTaps say why taps give no tempo.
var (
	ErrFewTaps    = fmt.Errorf("it takes %d taps in a row, 0.2 to 2 s apart", LeastTaps)
	ErrUnevenTaps = errors.New("the taps are too uneven for a tempo")
)

// FitTaps gives the tempo of the newest taps: the slope of the least-squares line
// through the times of the taps over the numbers of their beats, so that every tap
// counts and not only the first and the last. Its standard deviation is
// that of a tap times sqrt(12/(n(n²-1))). Times ascend, from any zero.
//
// A pause of more than two seconds begins a new set, and so do three
// beats in a row that are all a fifth longer or shorter than those before. Taps that
// bounce are left out, and taps a quarter of a beat off; a beat without a tap counts
// as one. The error is ErrFewTaps or ErrUnevenTaps.
func FitTaps(taps []time.Duration) (TapFit, error) {
	set := newestTaps(taps)
	if len(set) < LeastTaps {
		return TapFit{}, ErrFewTaps
	}
	guess := medianGap(set)
	var beats []int
	for range 2 { // the second time the beat is known better
		var on []time.Duration
		if on, beats = onTheBeat(set, guess); len(on) < LeastTaps || 2*len(on) < len(set) {
			return TapFit{}, ErrUnevenTaps
		}
		guess = slope(beats, on)
	}
	bpm := math.Round(10*60/(guess/float64(time.Second))) / 10
	return TapFit{BPM: bpm, Beat: time.Duration(math.Round(guess)), Used: len(beats)}, nil
}

// newestTaps cuts taps down to the newest set of one tempo, without bounces.
func newestTaps(taps []time.Duration) []time.Duration {
	var set []time.Duration
	for _, t := range taps {
		switch last := len(set) - 1; {
		case last < 0:
		case t-set[last] < tapBounce:
			continue
		case t-set[last] > tapPause:
			set = set[:0]
		}
		set = append(set, t)
	}
	set = set[max(0, len(set)-tapMost):]
	if from := len(set) - 1 - tapJumpLen; from >= tapJumpLen && jumps(set, from) {
		set = set[from:]
	}
	return set
}

// jumps tells whether all gaps from a tap on are of one other length than those before it.
func jumps(set []time.Duration, from int) bool {
	before, after := medianGap(set[:from+1]), medianGap(set[from:])
	up := after > before
	for i := from + 1; i < len(set); i++ {
		gap := float64(set[i] - set[i-1])
		if math.Abs(gap-before) <= tapJump*before || gap > before != up || math.Abs(gap-after) > tapJump*after {
			return false
		}
	}
	return true
}

// medianGap is the usual time between two taps, in nanoseconds.
func medianGap(set []time.Duration) float64 {
	gaps := make([]float64, len(set)-1)
	for i := range gaps {
		gaps[i] = float64(set[i+1] - set[i])
	}
	slices.Sort(gaps)
	return (gaps[(len(gaps)-1)/2] + gaps[len(gaps)/2]) / 2
}

// onTheBeat gives the taps that are on one beat, and the number of each one's
// beat. It begins with the tap from which most are.
func onTheBeat(set []time.Duration, beat float64) (on []time.Duration, beats []int) {
	for first := range set[:len(set)-1] {
		taps, numbers := []time.Duration{set[first]}, []int{0}
		for _, t := range set[first+1:] {
			last := len(taps) - 1
			steps := float64(t-taps[last]) / beat
			n := math.Round(steps)
			if n < 1 || math.Abs(steps-n) > tapOff {
				continue
			}
			taps, numbers = append(taps, t), append(numbers, numbers[last]+int(n))
		}
		if len(taps) > len(on) {
			on, beats = taps, numbers
		}
	}
	return on, beats
}

// slope is that of the least-squares line, in nanoseconds a beat.
func slope(beats []int, taps []time.Duration) float64 {
	n := float64(len(taps))
	var meanK, meanT float64
	for i := range taps {
		meanK += float64(beats[i]) / n
		meanT += float64(taps[i]-taps[0]) / n
	}
	var over, under float64
	for i := range taps {
		k := float64(beats[i]) - meanK
		over += k * (float64(taps[i]-taps[0]) - meanT)
		under += k * k
	}
	return over / under
}
