package compile

import (
	"math"
	"sort"
	"time"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/track"
)

// When a fade stops looking smooth on camera.
const (
	// codeStep is the step of light, in stops, from which one is seen that
	// stands still before and after: 2 % (about 1 %, 0.5 to 2, is just noticed in
	// good light: DICOM PS3.14 after Barten).
	codeStep = 0.02857
	// codeFrames is for how many frames of the camera a code may be held before a
	// stair is seen: one frame more or less is lost in the motion (common
	// practice, no source).
	codeFrames = 2
	// frameStep is the step from one frame of the camera to the next, in OKLab,
	// from which a fade is seen as jumps: a tenth of the way from black to white,
	// five times the 0.02 that is seen side by side (common practice, no source).
	frameStep = 0.1
	// underGrey is how far under mid-grey a camera sees when the show does not tell.
	underGrey = 8
	// fullOverGrey is how far over mid-grey a lamp's full light stands, in stops.
	// The camera's range under grey counts from there: what is darker than its
	// black has no steps (common practice, no source).
	fullOverGrey = 2
)

// longest is the longest time that a cue can take.
const longest = 24 * time.Hour

// Steps tells how smooth a fade is on one lamp. Where its cells differ it tells
// the worst.
type Steps struct {
	Lamp *cues.RigLamp
	Bits int           // of its coarsest emitter channel
	Time time.Duration // that each cell takes in this fade
	// Largest is the largest step of a cell's light, in stops, between the codes
	// that its channels hold and the next ones on their way; over the black of
	// the camera, so that the first code out of dark has a size too.
	Largest float64
	// Held is for how many frames of the camera a code is held at most, of those
	// whose steps are seen; 0 when none is seen.
	Held float64
	// Shortest is the time under which one frame of the camera differs from the
	// next so much that the fade is seen as jumps, Longest the time over which
	// its codes are held so long that a stair is seen: a day, the longest that a
	// cue can take, when no step is seen. A fade with Shortest over Longest is
	// smooth at no time.
	Shortest, Longest time.Duration
}

// TooShort reports whether the fade is seen as jumps. One of up to four frames
// is a flip and not meant to be smooth.
func (s *Steps) TooShort(fps float64) bool {
	return s.Time < s.Shortest && s.Time.Seconds()*fps > 4
}

// TooLong reports whether the fade is seen as a stair.
func (s *Steps) TooLong() bool { return s.Time > s.Longest }

// Verdict is what may be said of a fade on a lamp.
type Verdict string

// The verdicts.
const (
	Smooth    Verdict = "smooth"
	TooFast   Verdict = "jumps: too fast"
	TooSlow   Verdict = "stair: too slow"
	NeverGood Verdict = "no time is smooth"
	AFlip     Verdict = "flip"
)

// Verdict judges the fade for a camera of so many frames a second.
func (s *Steps) Verdict(fps float64) Verdict {
	switch {
	case s.Shortest > s.Longest:
		return NeverGood
	case s.TooLong():
		return TooSlow
	case s.TooShort(fps):
		return TooFast
	case s.Time < s.Shortest:
		return AFlip
	}
	return Smooth
}

// Stepping tells, for every lamp whose cells f moves, in rig order, how smooth
// that is for the camera of the show. It plays the fade into the bytes of each
// cell, at 44 frames a second or more often, and reads them back as a lamp does.
// With floor light on, what goes on under the least light of a floor cell is not
// seen. f is a fade of this place.
func (p *Place) Stepping(f *track.Fade, floor bool) []Steps {
	moves := make(map[int]*track.Move, len(f.Moves))
	for i := range f.Moves {
		moves[int(f.Moves[i].First)] = &f.Moves[i]
	}
	player := newPlayer(p, f, floor)
	var out []Steps
	for i := range p.lamps {
		l := &p.lamps[i]
		all := Steps{Lamp: l.lamp, Longest: longest}
		for at := l.first; at < l.first+l.n; at++ {
			c := &p.Cells[at]
			m, moves := moves[c.First]
			if !moves || m.Length == 0 {
				continue
			}
			all.worse(player.cell(l, c, m))
		}
		if all.Time > 0 {
			out = append(out, all)
		}
	}
	return out
}

// worse takes what is worse in o.
func (s *Steps) worse(o Steps) {
	if s.Time == 0 || o.Bits < s.Bits {
		s.Bits = o.Bits
	}
	s.Time = max(s.Time, o.Time)
	s.Largest, s.Held = max(s.Largest, o.Largest), max(s.Held, o.Held)
	s.Shortest, s.Longest = max(s.Shortest, o.Shortest), min(s.Longest, o.Longest)
}

// fps is the rate of the camera, of film where the show tells none.
func (p *Place) fps() float64 {
	if fps := p.Clock().Capture; fps > 0 {
		return fps
	}
	return 24
}

// black is the light of a cell, as a share of its most, at the camera's black.
func (p *Place) black() float64 {
	under := p.Show.Camera.Under
	if under <= 0 {
		under = underGrey
	}
	return math.Exp2(-(under + fullOverGrey))
}

// frames gives the least number of frames of the camera in which a fade goes
// its way with no step over frameStep. Way is how far it has come in OKLab, at
// evenly spaced moments.
func frames(way []float64) float64 {
	last := len(way) - 1
	if way[last] <= frameStep {
		return 0
	}
	smooth := func(window int) bool {
		for i := window; i <= last; i++ {
			if way[i]-way[i-window] > frameStep {
				return false
			}
		}
		return true
	}
	window := sort.Search(last, func(w int) bool { return !smooth(w + 1) })
	return float64(last) / float64(max(window, 1))
}

// apart is the distance of two lights in OKLab.
func apart(a, b colour.OKLab) float64 {
	dl, da, db := a.L-b.L, a.A-b.A, a.B-b.B
	return math.Sqrt(dl*dl + da*da + db*db)
}
