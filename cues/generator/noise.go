package generator

import (
	"math/rand/v2"
	"time"

	"linkboy/cues/track"
)

// Rate is how many entries of a noise a second has.
const Rate = 64

const (
	// shortest is the least time of a noise before it repeats.
	shortest = time.Minute
	// happenings is how many periods it has at least.
	happenings = 16
	// one is 1 in the fixed point of this package, 16 bits behind the point.
	one = 1 << 16
)

// Long gives the number of entries of a noise with a period: a power of two,
// track.MaxTable (17 minutes) at most.
func Long(period time.Duration) int {
	n := 2
	for n < track.MaxTable && (time.Duration(n)*time.Second/Rate < shortest || time.Duration(n)*time.Second/Rate < happenings*period) {
		n *= 2
	}
	return n
}

// entries gives a time in entries, one at least.
func entries(d time.Duration) int { return max(int(int64(d)*Rate/int64(time.Second)), 1) }

// dice are the random numbers of a noise: PCG-DXSM, which rand/v2 keeps as it is.
func dice(seed uint64, kind uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, kind)) }

// The kinds of dice, so that noises of one seed have nothing in common.
const (
	ofFlame = iota + 1
	ofScreen
	ofLightning
	ofPassing
)

// Flame flickers.
func Flame(period time.Duration, seed uint64) []uint16 {
	n := Long(period)
	r := dice(seed, ofFlame)
	sum := make([]int, n)
	for octave := range 3 {
		points := max(n/entries(period), 1) << octave
		for i, v := range smooth(r, n, points) {
			sum[i] += v << (2 - octave) // 4 : 2 : 1
		}
	}
	low, high := sum[0], sum[0]
	for _, v := range sum {
		low, high = min(low, v), max(high, v)
	}
	table := make([]uint16, n)
	for i, v := range sum {
		dip := (v - low) * track.Whole / max(high-low, 1)
		table[i] = uint16(dip * dip / track.Whole) // lingers at rest
	}
	return table
}

// smooth gives n values 0..one that pass as many random points, equally far
// apart, without a kink (the smoothstep polynomial 3t² - 2t³ between them).
func smooth(r *rand.Rand, n, points int) []int {
	at := make([]int, points)
	for i := range at {
		at[i] = r.IntN(one + 1)
	}
	out := make([]int, n)
	for i := range out {
		place := i * points * one / n
		k, t := place/one, place%one
		step := t * t / one * (3*one - 2*t) / one
		a, b := at[k%points], at[(k+1)%points]
		out[i] = a + (b-a)*step/one
	}
	return out
}

// Screen is the glow of a screen that plays a film.
func Screen(period time.Duration, seed uint64) []uint16 {
	n := Long(period)
	r := dice(seed, ofScreen)
	drift := smooth(r, n, max(n/entries(period), 1)*2)
	table := make([]uint16, n)
	p := entries(period)
	for i := 0; i < n; {
		long := p/4 + r.IntN(p*3/2+1) + 1
		if n-i-long < p/4 { // no flicker where it begins anew
			long = n - i
		}
		glow := r.IntN(track.Whole + 1)
		for end := i + long; i < end; i++ {
			table[i] = uint16((glow*7 + drift[i]*track.Whole/one) / 8)
		}
	}
	return table
}

// Lightning strikes.
func Lightning(period time.Duration, seed uint64) []uint16 {
	n := Long(period)
	r := dice(seed, ofLightning)
	light := make([]int, n)
	each(r, n, entries(period), func(at int) {
		for stroke := range 1 + r.IntN(3) {
			glow := one
			if stroke > 0 {
				at += 6 + r.IntN(11) // 94 to 250 ms
				glow = one*6/10 + r.IntN(one*4/10)
			}
			for i := at; glow > one/256; i++ {
				light[i%n] = max(light[i%n], glow)
				glow = glow * 3 / 4 // to a half in 37 ms, to a hundredth in a quarter of a second
			}
		}
	})
	return away(light)
}

// Passing is lights that pass, such as those of cars, each within its width.
func Passing(period, width time.Duration, seed uint64) []uint16 {
	n := Long(period)
	r := dice(seed, ofPassing)
	light := make([]int, n)
	half := max(entries(width)/2, 1)
	each(r, n, entries(period), func(at int) {
		bright := one*7/10 + r.IntN(one*3/10+1)
		for i := range 2 * half {
			t := i * one / half // up in one half, down in the other
			if t > one {
				t = 2*one - t
			}
			swell := t * t / one * (3*one - 2*t) / one
			k := (at + i) % n
			light[k] = max(light[k], swell*bright/one)
		}
	})
	return away(light)
}

// each calls happen at the beginning of every period of n entries, up to a quarter of
// it earlier or later.
func each(r *rand.Rand, n, period int, happen func(at int)) {
	count := max(n/period, 1)
	for i := range count {
		at := i*n/count + r.IntN(period/2+1) - period/4
		happen((at + n + period/2) % n)
	}
}

// away turns light 0..one into the way that is left to rest.
func away(light []int) []uint16 {
	table := make([]uint16, len(light))
	for i, v := range light {
		table[i] = uint16((one - v) * track.Whole / one)
	}
	return table
}
