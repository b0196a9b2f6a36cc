package difference

import (
	"math"

	"linkboy/colour"
)

// Lab is a colour in CIE 1976 L*a*b* under some white.
//
//	L  lightness, 0 (black) to 100 (the white); above 100 brighter than it
//	A  red (+) against green (-), about -130 to 130 for surfaces
//	B  yellow (+) against blue (-), about -130 to 130 for surfaces
//
// The numbers do not carry their white: compare only what shares one.
type Lab struct{ L, A, B float64 }

// The two parts of the lightness curve meet, in value and slope, at these
// exact fractions; the rounded 0.008856 and 903.3 of old texts leave a step
// [CIE 15].
const (
	labEpsilon = 216.0 / 24389 // (6/29)³
	labKappa   = 24389.0 / 27  // (29/3)³
)

// LabOf returns c in CIELAB under white:
//
//	L* = 116 f(Y/Yn) - 16,  a* = 500 (f(X/Xn) - f(Y/Yn)),  b* = 200 (f(Y/Yn) - f(Z/Zn))
//	f(t) = ∛t for t > (6/29)³, else (24389/27 t + 16) / 116
//
// Domain: c and white in one unit, white with X, Y, Z above 0; a white that is
// none gives the zero Lab. Below black the straight part of f goes on, so
// negative X, Y, Z stay finite. Source: [CIE 15], ISO/CIE 11664-4.
func LabOf(c, white colour.XYZ) Lab {
	if !isWhite(white) {
		return Lab{}
	}
	x, y, z := labFold(c.X/white.X), labFold(c.Y/white.Y), labFold(c.Z/white.Z)
	return Lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// XYZ returns the colour of p under white, in white's unit: the inverse of
// LabOf. A white that is none gives the zero XYZ.
func (p Lab) XYZ(white colour.XYZ) colour.XYZ {
	if !isWhite(white) {
		return colour.XYZ{}
	}
	y := (p.L + 16) / 116
	return colour.XYZ{
		X: white.X * labUnfold(y+p.A/500),
		Y: white.Y * labUnfold(y),
		Z: white.Z * labUnfold(y-p.B/200),
	}
}

// Chroma returns C*ab, the distance from the grey axis, 0 and up.
func (p Lab) Chroma() float64 { return math.Hypot(p.A, p.B) }

// Hue returns h_ab in degrees, 0 up to but not 360, 0 being red (+a) and 90
// yellow (+b). A grey has hue 0.
func (p Lab) Hue() float64 { return hueOf(p.A, p.B) }

// Distance returns ΔE*ab of 1976, the straight distance from p to q, 0 and up.
// It overrates differences of strong colours; DE2000 mends that.
func (p Lab) Distance(q Lab) float64 { return length(p.L-q.L, p.A-q.A, p.B-q.B) }

// labFold is f of LabOf.
func labFold(t float64) float64 {
	if t > labEpsilon {
		return math.Cbrt(t)
	}
	return (labKappa*t + 16) / 116
}

// labUnfold is the inverse of labFold.
func labUnfold(f float64) float64 {
	if cube := f * f * f; cube > labEpsilon {
		return cube
	}
	return (116*f - 16) / labKappa
}

// isWhite reports whether colours can be taken relative to w.
func isWhite(w colour.XYZ) bool {
	finite := !math.IsInf(w.X, 0) && !math.IsInf(w.Y, 0) && !math.IsInf(w.Z, 0)
	return w.X > 0 && w.Y > 0 && w.Z > 0 && finite
}

// hueOf returns the angle of (a, b) in degrees, 0 up to but not 360.
func hueOf(a, b float64) float64 {
	h := math.Atan2(b, a) * (180 / math.Pi)
	if h < 0 {
		h += 360
	}
	if h >= 360 { // a tiny negative angle rounds up to the full turn
		h = 0
	}
	return h
}

// length returns the length of (x, y, z).
func length(x, y, z float64) float64 { return math.Hypot(math.Hypot(x, y), z) }
