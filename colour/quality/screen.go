package quality

import "linkboy/colour"

// bt709Primaries are the lights of a [BT.709] screen at full signal, Y = 1 for
// the three together, which are D65.
var bt709Primaries = func() [3]colour.XYZ {
	r, g, b := colour.XY{X: 0.640, Y: 0.330}.XYZ(1), colour.XY{X: 0.300, Y: 0.600}.XYZ(1), colour.XY{X: 0.150, Y: 0.060}.XYZ(1)
	w := colour.D65.XYZ(1)
	// Shares of luminance by Cramer's rule: r, g, b in them add up to w.
	all := det(r, g, b)
	return [3]colour.XYZ{r.Scale(det(w, g, b) / all), g.Scale(det(r, w, b) / all), b.Scale(det(r, g, w) / all)}
}()

func det(a, b, c colour.XYZ) float64 {
	return a.X*(b.Y*c.Z-b.Z*c.Y) - b.X*(a.Y*c.Z-a.Z*c.Y) + c.X*(a.Y*b.Z-a.Z*b.Y)
}
