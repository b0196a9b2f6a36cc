package photometry

import "math"

// MiddleGrey is the reflectance that an exposure puts in the middle of its
// range: the 18 % grey card (common practice).
const MiddleGrey = 0.18

// FlatLuminance returns how bright a flat Lambertian source of the given area
// in m2 is, lit on one side: L = Φ/(π A) [CIE S 017].
//
// 1600 lm from a strip of 40 mm by 1.15 m: 11 070 cd/m2.
func FlatLuminance(f Lumens, area float64) Luminance {
	return Luminance(float64(f) / (math.Pi * area))
}

// CylinderLuminance returns how bright a Lambertian tube is that shines all
// round, of the given diameter and length in metres: L = Φ/(π² D l) [IES HB].
//
// 1600 lm from 40 mm by 1.15 m: 3524 cd/m2.
func CylinderLuminance(f Lumens, diameter, length float64) Luminance {
	return Luminance(float64(f) / (math.Pi * math.Pi * diameter * length))
}

// Reflected returns how bright a matt surface of the given reflectance, 0 to 1,
// is under e: L = ρ E/π [CIE S 017, Lambert's law]. Shine comes on top.
//
// A grey card under 1000 lx: 57.3 cd/m2.
func Reflected(e Lux, reflectance float64) Luminance {
	return Luminance(reflectance * float64(e) / math.Pi)
}

// StopsOverGrey returns how many stops l lies over a grey card under the key,
// so over middle grey where the key is what the camera is exposed for.
//
// A tube of 11 070 cd/m2 in shot under a key of 120 lx: 10.7 stops, which clips
// in every camera.
func (l Luminance) StopsOverGrey(key Lux) float64 {
	return math.Log2(float64(l / Reflected(key, MiddleGrey)))
}

// OverGrey returns the luminance that lies the given stops over a grey card
// under the key: the inverse of StopsOverGrey. Its share of what a source
// gives at full is the level that the source may be seen at.
func OverGrey(stops float64, key Lux) Luminance {
	return Reflected(key, MiddleGrey) * Luminance(math.Exp2(stops))
}
