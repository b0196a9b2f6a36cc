package transport

import "linkboy/colour/solid"

// DirectBy is the direct light of each source of a place at a point, as the mean of n sums
// over points of its face that chance has chosen.
func DirectBy(p *Place, at, normal solid.Vec, n, seed int) []float32 {
	d := direct{p.scene(), p.Sources}
	row := make([]float32, len(p.Sources))
	c := newChance(seed)
	for range n {
		d.at(spot{at, normal}, 1/float64(n), row, c.next(), c.next())
	}
	return row
}
