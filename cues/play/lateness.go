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
	// Frames is how late frames are: from when one was due until it was
	// rendered. The first frame of a cue is due when its command is given.
	Frames Delay
	// First is how long a first frame of a cue takes: from when its command was
	// given until the Output has sent it.
	First Delay
	// Skipped counts the frames left out since the start because the loop was
	// more than three frames late.
	Skipped uint64
	// Minute is the same of the last minute, and what was due in it.
	Minute struct{ Skipped, Due uint64 }
}

// Delay is what is known of a kind of delay. P50, P99 and Max are of the last
// 4096, read from a histogram whose steps are a sixteenth wide, and so at most
// that much too high.
type Delay struct {
	P50, P99, Max time.Duration
	Ever          Histogram // of all since the start
}

// Buckets are the upper bounds of a Histogram, but for the last, which has none.
var Buckets = [...]time.Duration{
	50 * time.Microsecond, 100 * time.Microsecond, 200 * time.Microsecond, 500 * time.Microsecond,
	time.Millisecond, 2 * time.Millisecond, 5 * time.Millisecond, 10 * time.Millisecond,
	20 * time.Millisecond, 50 * time.Millisecond, 100 * time.Millisecond, 500 * time.Millisecond,
}

// Histogram counts delays by Buckets.
type Histogram struct {
	Count [len(Buckets) + 1]uint64
	Sum   time.Duration
}

func (h *Histogram) add(d time.Duration) {
	b := 0
	for b < len(Buckets) && d > Buckets[b] {
		b++
	}
	h.Count[b]++
	h.Sum += d
}

// lateness is a histogram over the last frames, and one over all.
type lateness struct {
	ring  [lateWindow]uint16 // bucket of each frame
	count [(64 - lateBits + 1) * lateSteps]uint16
	seen  int // frames so far, at most lateWindow
	at    int // place in the ring
	delay Delay
	stale bool // the shares of delay are not those of count
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
	l.delay.Ever.add(max(d, 0))
	l.stale = true
}

// read works out the delays: each is the upper edge of the bucket that holds
// the frame of rank ceil(share * n).
func (l *lateness) read() *Delay {
	if !l.stale {
		return &l.delay
	}
	l.stale = false
	d := &l.delay
	d.P50, d.P99, d.Max = 0, 0, 0
	above, tail, half := 0, l.seen/100, l.seen/2 // frames above; as many may be above
	for b := len(l.count) - 1; b > 0; b-- {
		n := int(l.count[b])
		if n == 0 {
			continue
		}
		if above == 0 {
			d.Max = edge(b)
		}
		if above <= tail && above+n > tail {
			d.P99 = edge(b)
		}
		if above <= half && above+n > half {
			d.P50 = edge(b)
			break
		}
		above += n
	}
	return d
}

// lastMinute counts frames by the second.
type lastMinute struct {
	begun   time.Time
	second  int64
	skipped [60]uint32
	due     [60]uint32
	sum     struct{ Skipped, Due uint64 }
}

// add counts a frame at a time, and those that were left out before it.
func (m *lastMinute) add(now time.Time, skipped int64) {
	second := int64(now.Sub(m.begun) / time.Second)
	for range min(second-m.second, 60) {
		m.second++
		m.forget(m.second % 60)
	}
	m.second = second
	at := second % 60
	m.skipped[at] += uint32(skipped)
	m.due[at] += uint32(skipped + 1)
	m.sum.Skipped += uint64(skipped)
	m.sum.Due += uint64(skipped + 1)
}

func (m *lastMinute) forget(at int64) {
	m.sum.Skipped -= uint64(m.skipped[at])
	m.sum.Due -= uint64(m.due[at])
	m.skipped[at], m.due[at] = 0, 0
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
