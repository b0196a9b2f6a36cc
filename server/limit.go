package server

import "time"

// bucket is a token bucket: so many events a second on average, so many at
// once. It is not safe for concurrent use.
type bucket struct {
	perSecond, most float64
	level           float64
	filled          time.Time
}

func newBucket(perSecond, most float64) *bucket {
	return &bucket{perSecond: perSecond, most: most, level: most, filled: time.Now()}
}

// take reports whether one more event fits now, and counts it when it does.
func (b *bucket) take() bool {
	b.fill()
	if b.level < 1 {
		return false
	}
	b.level--
	return true
}

func (b *bucket) fill() {
	now := time.Now()
	b.level = min(b.most, b.level+now.Sub(b.filled).Seconds()*b.perSecond)
	b.filled = now
}
