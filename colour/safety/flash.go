package safety

import (
	"math"
	"time"

	"linkboy/colour"
	"linkboy/colour/photometry"
)

const (
	// MostFlashes is how many flashes a second may have: not more than three
	// [WCAG 2.3.1; BT.1702].
	MostFlashes = 3
	// SmallField is the solid angle in sr under which flashing is small enough
	// at any rate: a quarter of any 10 degree field [WCAG]. Light on a set
	// seldom is.
	SmallField = 0.006
	// SmallPicture is the share of a television picture that may flash at any
	// rate [BT.1702]; some use 0.20.
	SmallPicture = 0.25
	// LeastFlip is the least time from one flip of a set to the flip back, on
	// the average over a second: two opposing flips are one flash.
	LeastFlip = (time.Second + 5) / 6
)

// What a change of brightness must be to count: of the brightest white [WCAG],
// and in cd/m2 [BT.1702].
const (
	step, dark                   = 0.1, 0.8
	broadcastStep, broadcastDark = 20, 160
)

// FlashRate returns the flashes a second of a set that flips to and fro at a
// steady interval, above 0: every 0.15 s is 3.33 and too many, 0.17 s is 2.94.
func FlashRate(every time.Duration) float64 { return 1 / (2 * every.Seconds()) }

// State is the light of a set, or of a part that is looked at, from a moment on.
type State struct {
	At    time.Duration
	Light colour.XYZ // linear, Y = 1 at the brightest white
}

// Sequence is states of light, in the order of time.
type Sequence []State

// OnScreen returns s as it plays at a speed, above 0: 0.4 for what is captured at
// 60 frames a second on a timeline of 24. The rule holds on the set and on the
// screen: count both.
func (s Sequence) OnScreen(speed float64) Sequence {
	screen := make(Sequence, len(s))
	for i, state := range s {
		screen[i] = State{At: time.Duration(float64(state.At) / speed), Light: state.Light}
	}
	return screen
}

// Flashing is how many flashes there are in the worst second of a sequence,
// counted in halves: a flash is a pair of opposing changes.
type Flashing struct {
	General float64 // of brightness
	Red     float64 // to and from saturated red
}

// Exceeds reports whether there are more than three flashes of either kind.
func (f Flashing) Exceeds() bool { return max(f.General, f.Red) > MostFlashes }

// Worst counts the flashes of s as a screen's [WCAG]. A change of brightness
// counts from 10 % of the brightest white where the darker state is under 80 %
// of it; small changes to and fro between do not. Red is counted both ways that
// the guideline has had, and the greater count taken; see IsSaturatedRed.
func (s Sequence) Worst() Flashing { return s.count(step, dark) }

// WorstBroadcast counts the flashes of s as a broadcast picture's, on a
// screen with the given white: a change counts from 20 cd/m2 where the darker
// state is under 160 cd/m2 [BT.1702].
func (s Sequence) WorstBroadcast(white photometry.Luminance) Flashing {
	return s.count(broadcastStep/float64(white), broadcastDark/float64(white))
}

// count counts changes of brightness from step on, under dark.
func (s Sequence) count(step, dark float64) Flashing {
	brightness := zigzag{enough: func(low, high point) bool {
		return high.value-low.value >= step-rounding && low.value < dark-rounding
	}}
	older := zigzag{enough: func(low, high point) bool {
		return high.value-low.value > olderRedStep && (low.red || high.red)
	}}
	var general, red, redder worstSecond
	var chroma chromaticity
	for _, state := range s {
		isRed := IsSaturatedRed(state.Light)
		if brightness.turns(point{value: state.Light.Y}) {
			general.add(state.At)
		}
		if older.turns(point{olderRed(state.Light), isRed}) {
			red.add(state.At)
		}
		if chroma.turns(state.Light, isRed) {
			redder.add(state.At)
		}
	}
	return Flashing{General: general.flashes(), Red: max(red.flashes(), redder.flashes())}
}

// rounding is room for what binary arithmetic makes of 0.3 - 0.2.
const rounding = 1e-9

// zigzag finds opposing changes: a rise after a fall, a fall after a rise.
type zigzag struct {
	enough    func(low, high point) bool
	low, high point // since the last change
	last      int   // 1 after a rise, -1 after a fall, 0 before either
	started   bool
}

// point is a state by one number.
type point struct {
	value float64
	red   bool
}

// turns takes the next state and reports whether a change is complete with it.
func (z *zigzag) turns(p point) bool {
	if !z.started {
		*z = zigzag{enough: z.enough, low: p, high: p, started: true}
		return false
	}
	if p.value < z.low.value {
		z.low = p
	}
	if p.value > z.high.value {
		z.high = p
	}
	switch {
	case z.last <= 0 && z.enough(z.low, p):
		z.last = 1
	case z.last >= 0 && z.enough(p, z.high):
		z.last = -1
	default:
		return false
	}
	z.low, z.high = p, p
	return true
}

// worstSecond keeps the changes of the last second and their greatest number.
type worstSecond struct {
	recent []time.Duration
	most   int
}

func (w *worstSecond) add(at time.Duration) {
	for len(w.recent) > 0 && at-w.recent[0] >= time.Second {
		w.recent = w.recent[1:]
	}
	w.recent = append(w.recent, at)
	w.most = max(w.most, len(w.recent))
}

// flashes are pairs of changes.
func (w *worstSecond) flashes() float64 { return float64(w.most) / 2 }

// IsChange reports whether a change between two relative luminances, 1
// at the brightest white, is a half of a general flash [WCAG].
func IsChange(a, b float64) bool {
	return math.Abs(a-b) >= step-rounding && min(a, b) < dark-rounding
}

// IsBroadcastChange reports whether a change between two luminances of a screen is
// a half of a flash [BT.1702].
func IsBroadcastChange(a, b photometry.Luminance) bool {
	return math.Abs(float64(a-b)) >= broadcastStep && min(a, b) < broadcastDark
}
