package cues

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"time"
)

// Real gives d in real time, rounded to the nearest nanosecond; nothing is
// rounded before that. With capture and timeline rate in frames per second:
//
//	4 s                4 s
//	4 s on screen      4 s * timeline/capture
//	48 frames          48 / capture, on screen or not: every captured frame is one frame of the edit
//	8 beats            8 * 60/BPM s
//	8 beats on screen  8 * 60/BPM s * timeline/capture
//	2 bars             2 * beats per bar, in beats
//
// Rates written as the usual decimals of the 1000/1001 family (23.976, 29.97,
// 59.94 ...) mean the exact fractions (SMPTE ST 12-1: 24000/1001 and so on).
// A Duration that was not written is no time. The error is a *Problem: a tempo
// or a rate that is missing, a negative amount, or more than a day.
func (d Duration) Real(c Clock) (time.Duration, error) {
	if d.IsZero() {
		return 0, nil
	}
	if d.Amount < 0 || math.IsNaN(d.Amount) || math.IsInf(d.Amount, 0) {
		return 0, NewProblem(d.At, CodeOutOfRange, fmt.Sprintf("%s is no time to wait", d),
			"a time cannot be negative", "write 0 s for no time at all")
	}
	seconds, err := d.seconds(c)
	if err != nil {
		return 0, err
	}
	ns := nearestInt(seconds.Mul(seconds, big.NewRat(1e9, 1)))
	if !ns.IsInt64() || ns.Int64() > int64(maxDuration) {
		return 0, NewProblem(d.At, CodeTimeTooLong, fmt.Sprintf("%s is longer than a day", d),
			fmt.Sprintf("the longest time is %s", maxDuration), "write a shorter time, or check the unit")
	}
	return time.Duration(ns.Int64()), nil
}

// seconds gives d in real seconds, exactly.
func (d Duration) seconds(c Clock) (*big.Rat, error) {
	amount := decimal(d.Amount)
	switch d.Unit {
	case Milliseconds:
		amount.Quo(amount, big.NewRat(1000, 1))
	case Beats, Bars:
		if !(c.Tempo.BPM > 0) || d.Unit == Bars && c.Tempo.BeatsPerBar <= 0 {
			return nil, NewProblem(d.At, CodeNoTempo, fmt.Sprintf("%s needs a tempo", d),
				"neither the location nor the show has one", "add tempo: {bpm: 120, beats-per-bar: 4}, or write the time in s")
		}
		if d.Unit == Bars {
			amount.Mul(amount, big.NewRat(int64(c.Tempo.BeatsPerBar), 1))
		}
		amount.Mul(amount, big.NewRat(60, 1))
		amount.Quo(amount, decimal(c.Tempo.BPM))
	case Frames:
		if !(c.Capture > 0) {
			return nil, d.noRate("camera fps")
		}
		return amount.Quo(amount, frameRate(c.Capture)), nil
	}
	if !d.OnScreen {
		return amount, nil
	}
	if !(c.Capture > 0) || !(c.Timeline > 0) {
		return nil, d.noRate("camera fps and timeline")
	}
	amount.Mul(amount, frameRate(c.Timeline))
	return amount.Quo(amount, frameRate(c.Capture)), nil
}

func (d Duration) noRate(which string) *Problem {
	return NewProblem(d.At, CodeNoFrameRate, fmt.Sprintf("%s needs frame rates", d),
		which+" must be known", "give show.yaml a timeline (24 fps) and the camera an fps")
}

// String gives d as it is written in a show file; "" when none was written.
func (d Duration) String() string {
	if d.IsZero() {
		return ""
	}
	unit := string(d.Unit)
	if d.Amount == 1 && len(unit) > 2 {
		unit = unit[:len(unit)-1]
	}
	text := strconv.FormatFloat(d.Amount, 'f', -1, 64) + " " + unit
	if d.OnScreen {
		text += " on screen"
	}
	return text
}

// ntscRates are the nominal rates that are shot and edited at 1000/1001 of themselves.
var ntscRates = [...]int64{24, 30, 48, 60, 72, 96, 120, 240}

// frameRate gives the exact rate that a person means by fps.
func frameRate(fps float64) *big.Rat {
	const near = 0.005 // 23.98 for 23.976 is the coarsest rounding in use; 24 is 0.024 away
	for _, nominal := range ntscRates {
		if exact := float64(nominal) * 1000 / 1001; math.Abs(fps-exact) < near {
			return big.NewRat(nominal*1000, 1001)
		}
	}
	return decimal(fps)
}

// decimal gives the number that was written: 0.1 is a tenth, not the binary
// fraction nearest to it.
func decimal(f float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(f, 'g', -1, 64))
	if !ok {
		return new(big.Rat)
	}
	return r
}

// nearestInt rounds r >= 0 to the nearest integer, halves up.
func nearestInt(r *big.Rat) *big.Int {
	twice := new(big.Int).Lsh(r.Num(), 1)
	twice.Add(twice, r.Denom())
	return twice.Div(twice, new(big.Int).Lsh(r.Denom(), 1))
}
