package compile

import (
	"linkboy/colour"
	"linkboy/cues"
)

// spread gives the chromaticity of each of n cells, in group order, for a
// pattern of one or more colours.
func spread(pattern cues.Pattern, colours []colour.XY, n int) []colour.XY {
	out := make([]colour.XY, n)
	k := len(colours)
	for i := range out {
		switch pattern {
		case cues.Alternate:
			out[i] = colours[i%k]
		case cues.Halves:
			out[i] = colours[i*k/n]
		case cues.Gradient:
			out[i] = along(colours, share(i, n-1))
		case cues.Mirror:
			// The middle cell, or both middle cells, have the last colour.
			out[i] = along(colours, share(min(i, n-1-i), (n-1)/2))
		default:
			out[i] = colours[0]
		}
	}
	return out
}

// share is i of n; of nothing it is 0.
func share(i, n int) float64 {
	if n <= 0 {
		return 0
	}
	return float64(i) / float64(n)
}

// along gives the colour at t, 0..1, of the way through colours, straight in
// CIE 1976 u'v' from each to the next.
func along(colours []colour.XY, t float64) colour.XY {
	last := len(colours) - 1
	at := t * float64(last)
	i := int(at)
	if i >= last {
		return colours[last]
	}
	part := at - float64(i)
	if part == 0 {
		return colours[i]
	}
	a, b := colours[i].UV(), colours[i+1].UV()
	return colour.UV{U: a.U + part*(b.U-a.U), V: a.V + part*(b.V-a.V)}.XY()
}
