package camera

import (
	"linkboy/colour"
	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// Matrix turns balanced channels into linear Rec.709, row by row.
type Matrix [3][3]float64

// Apply returns the colour of channels as Rec.709, which may be below 0 for what
// Rec.709 cannot show.
func (m *Matrix) Apply(c RGB) RGB {
	return RGB{
		m[0][0]*c.R + m[0][1]*c.G + m[0][2]*c.B,
		m[1][0]*c.R + m[1][1]*c.G + m[1][2]*c.B,
		m[2][0]*c.R + m[2][1]*c.G + m[2][2]*c.B,
	}
}

// Matrix returns the matrix that makes a picture of what v sees, as a camera's own
// does: a sensor's channels overlap, so that shown as they are, colours would be pale.
// It is the one that comes nearest, by least squares, to what the eye sees of the 18
// coloured samples of [EBU Tech 3355] lit by the balance white and adapted from it to
// D65 (the way of ISO 17321-1), of those that keep white white.
//
// No matrix is right for lights that are not white: narrow emitters come out of it as
// out of a camera, which is the point.
func (v View) Matrix() Matrix {
	meter := spectra.CIE1931
	white := meter.XYZ(*v.white)
	// With the blue column 1 less the others, each row is a plain least square of two.
	var normal [2][2]float64
	var right [3][2]float64
	for _, patch := range quality.Patches() {
		lit := *v.white
		for i := range lit {
			lit[i] *= patch[i]
		}
		seen := v.See(lit).Scale(1 / white.Y)
		r, g, b := meter.XYZ(lit).Scale(1/white.Y).Adapted(white.XY(), colour.D65).SRGB()
		a := [2]float64{seen.R - seen.B, seen.G - seen.B}
		for i := range a {
			for j := range a {
				normal[i][j] += a[i] * a[j]
			}
			for row, target := range [3]float64{r, g, b} {
				right[row][i] += a[i] * (target - seen.B)
			}
		}
	}
	var m Matrix
	det := normal[0][0]*normal[1][1] - normal[0][1]*normal[1][0]
	for row, y := range right {
		first := (y[0]*normal[1][1] - y[1]*normal[0][1]) / det
		second := (y[1]*normal[0][0] - y[0]*normal[1][0]) / det
		m[row] = [3]float64{first, second, 1 - first - second}
	}
	return m
}
