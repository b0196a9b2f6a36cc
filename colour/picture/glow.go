package picture

import "math"

// Glow spreads a share of the light of every pixel around it, as a mist filter
// does: 0 none, 0.2 a strong one. It moves light and adds none, so an exposure
// stays as it was metered. It is an impression, not any filter's measure: two
// blurs, a fiftieth and a tenth of the width wide.
func Glow(f *Frame, share float64) {
	if share <= 0 {
		return
	}
	out := make([]float32, len(f.Values))
	for i, v := range f.Values {
		out[i] = float32(1-share) * v
	}
	for _, wide := range []float64{1.0 / 50, 1.0 / 10} {
		soft := blur(f, float64(f.Width)*wide/2)
		for i, v := range soft {
			out[i] += float32(share/2) * v
		}
	}
	copy(f.Values, out)
}

// blur is three passes of a box each way, close to a Gaussian of so many pixels
// (W. Wells, IEEE PAMI 8 (1986) 234). Light that would leave the picture stays at
// its edge.
func blur(f *Frame, sigma float64) []float32 {
	radius := int(math.Round((math.Sqrt(4*sigma*sigma+1) - 1) / 2))
	a, b := append([]float32(nil), f.Values...), make([]float32, len(f.Values))
	for range 3 {
		boxBlur(a, b, f.Height, f.Width, 3*f.Width, 3, radius)
		boxBlur(b, a, f.Width, f.Height, 3, 3*f.Width, radius)
	}
	return a
}

// boxBlur averages n values, step apart, of each of so many lines.
func boxBlur(from, to []float32, lines, n, lineStep, step, radius int) {
	width := float32(2*radius + 1)
	for line := range lines {
		for c := range 3 {
			at := func(i int) float32 { return from[line*lineStep+mirror(i, n)*step+c] }
			sum := float32(0)
			for i := -radius; i <= radius; i++ {
				sum += at(i)
			}
			for i := range n {
				to[line*lineStep+i*step+c] = sum / width
				sum += at(i+radius+1) - at(i-radius)
			}
		}
	}
}

// mirror folds an index at the edges, which keeps the sum of a line.
func mirror(i, n int) int {
	i = ((i % (2 * n)) + 2*n) % (2 * n)
	if i >= n {
		return 2*n - 1 - i
	}
	return i
}
