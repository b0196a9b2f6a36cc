package session

import (
	"errors"
	"math"
	"time"

	"linkboy/cues/play"
)

// glide moves overall without a jump: to full for work light, which must be
// bright whatever overall says, and back.
type glide struct {
	on       bool
	from, to float64
	begin    time.Time
	length   time.Duration
}

// never is a wait for which nothing is due.
const never = time.Hour

// glideTo lets the overall that the engine has glide to a level.
func (s *Session) glideTo(level float64, length time.Duration) {
	from := s.snapshot().Overall
	if s.glide.on {
		from = s.glide.at(time.Now())
	}
	if from == level {
		s.glide = glide{}
		return
	}
	s.glide = glide{on: true, from: from, to: level, begin: time.Now(), length: length}
}

// at gives the level at a time: straight in lightness, which goes with the
// cube root of light (CIE 1976 L*).
func (g *glide) at(now time.Time) float64 {
	t := float64(now.Sub(g.begin)) / float64(g.length)
	if t >= 1 {
		return g.to
	}
	root := math.Cbrt(g.from) + max(t, 0)*(math.Cbrt(g.to)-math.Cbrt(g.from))
	return root * root * root
}

// glideOn moves overall on and gives how long until it must move again. s.mu
// must be held.
func (s *Session) glideOn(now time.Time) time.Duration {
	if !s.glide.on {
		return never
	}
	level := s.glide.at(now)
	if err := s.engine.Overall(level); err != nil {
		if errors.Is(err, play.ErrStopped) {
			s.glide = glide{}
			return never
		}
		return glideSteps // the output holds the engine up: again, until it is there
	}
	if level == s.glide.to {
		s.glide = glide{}
		return never
	}
	return glideSteps
}
