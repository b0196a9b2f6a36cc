package play

import (
	"math/bits"
	"time"
)

const (
	lateWindow = 4096 // frames remembered: a minute and a half at 44 Hz
	lateBits   = 4    // 16 steps an octave: the answer is at most 1/16 high
	lateSteps  = 1 << lateBits
)

// Lateness is how well the loop keeps its time.
type Lateness struct {
	// P99 is the lateness that 99 of 100 of the last 4096 frames stay within,
	// from when a frame was due until it was rendered, read from a histogram
	// whose steps are a sixteenth wide and so at most that much too high. The
	// first frame of a cue is due when its command is given.
	P99 time.Duration
	// Skipped counts the frames left out since the start because the loop was
	// more than three frames late.
	Skipped uint64
}

// lateness is a histogram over the last frames.
type lateness struct {
	ring  [lateWindow]uint16 // bucket of each frame
	count [(64 - lateBits + 1) * lateSteps]uint16
	seen  int // frames so far, at most lateWindow
	at    int // place in the ring
}

func (l *lateness) add(d time.Duration) {
	b := bucket(d)
	if l.seen == lateWindow {
		l.count[l.ring[l.at]]--
	} else {
		l.seen++
	}
	l.ring[l.at] = b
	l.count[b]++
	l.at = (l.at + 1) % lateWindow
}

// p99 is the upper edge of the bucket that holds the frame of rank ceil(0.99 n).
func (l *lateness) p99() time.Duration {
	above := l.seen / 100 // frames that may be later
	for b := len(l.count) - 1; b > 0; b-- {
		if above -= int(l.count[b]); above < 0 {
			return edge(b)
		}
	}
	return 0
}

// bucket sorts nanoseconds: one bucket each below 16, then 16 to every octave.
func bucket(d time.Duration) uint16 {
	n := uint64(max(d, 0))
	if n < lateSteps {
		return uint16(n)
	}
	shift := bits.Len64(n) - lateBits - 1
	return uint16(shift<<lateBits) + uint16(n>>shift)
}

// edge is the longest duration that falls into a bucket.
func edge(b int) time.Duration {
	if b < 2*lateSteps {
		return time.Duration(b)
	}
	shift := b>>lateBits - 1
	return time.Duration(uint64(lateSteps+b&(lateSteps-1)+1)<<shift - 1)
}
