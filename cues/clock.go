package cues

import (
	"math/big"
	"time"
)

// OnScreen gives how long a real time lasts in the edit, to the nearest nanosecond:
// times capture/timeline. Without both rates it is the time itself.
func (c Clock) OnScreen(real time.Duration) time.Duration {
	if !(c.Capture > 0) || !(c.Timeline > 0) || real < 0 {
		return real
	}
	t := new(big.Rat).SetInt64(int64(real))
	t.Mul(t, frameRate(c.Capture))
	t.Quo(t, frameRate(c.Timeline))
	return time.Duration(nearestInt(t).Int64())
}

// Frame gives the number of the captured frame nearest to a real time, 0 at the
// start. Without a capture rate it is 0.
func (c Clock) Frame(real time.Duration) int64 {
	if !(c.Capture > 0) || real < 0 {
		return 0
	}
	t := new(big.Rat).SetInt64(int64(real))
	t.Mul(t, frameRate(c.Capture))
	return nearestInt(t.Quo(t, big.NewRat(1e9, 1))).Int64()
}
