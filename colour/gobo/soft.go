package gobo

import "math"

// Soft returns the picture with edges that go from dark to light over a width, in pixels
// of it, and with a dark rim that they have room in; rim is how many pixels that is on
// each side. It keeps the light.
func (p *Picture) Soft(width float64) (soft *Picture, rim int) {
	if !(width > 0) {
		return p, 0
	}
	rim = int(math.Ceil(width/2)) + 1
	w, h := p.Wide+2*rim, p.High+2*rim
	a, b := make([]float64, w*h), make([]float64, w*h)
	for j := range p.High {
		for i := range p.Wide {
			a[(j+rim)*w+i+rim] = float64(p.Pass[j*p.Wide+i])
		}
	}
	for range 2 { // two boxes of half the width make an edge as wide as asked
		spread(a, b, h, w, w, 1, width/2)
		spread(b, a, w, h, 1, w, width/2)
	}
	soft = &Picture{Wide: w, High: h, Pass: make([]byte, w*h)}
	for i, v := range a {
		soft.Pass[i] = byte(math.Round(min(255, max(0, v))))
	}
	return soft, rim
}

// spread averages n values, step apart, of each of so many lines over a width.
func spread(from, to []float64, lines, n, lineStep, step int, width float64) {
	sums := make([]float64, n+1)
	for line := range lines {
		at := line * lineStep
		for i := range n {
			sums[i+1] = sums[i] + from[at+i*step]
		}
		upTo := func(x float64) float64 {
			x = min(max(x, 0), float64(n))
			i := min(int(x), n-1)
			return sums[i] + (x-float64(i))*(sums[i+1]-sums[i])
		}
		for i := range n {
			to[at+i*step] = mean(upTo, float64(i)+0.5, width/2)
		}
	}
}

// mean is the average of what a pixel gets: of a box about each of its points.
func mean(upTo func(float64) float64, x, half float64) float64 {
	const parts = 8
	sum := 0.0
	for k := range parts {
		at := x + (float64(k)+0.5)/parts - 0.5
		sum += (upTo(at+half) - upTo(at-half)) / (2 * half)
	}
	return sum / parts
}
