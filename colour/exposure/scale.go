package exposure

import "linkboy/colour/photometry"

// Stops from an 18 % grey up to where a recording clips, by the published
// curves. A camera's own curve has 5 to 8, and its sensor usually clips first:
// measure it; 6 is a start (common practice).
const (
	// HeadroomBT709 is that of a BT.709 picture without a knee: white over
	// grey.
	HeadroomBT709 = 2.47
	// HeadroomHLG is that of BT.2100 HLG with white at 75 % of the signal, as
	// BT.2408 has it, which puts grey at 38 %.
	HeadroomHLG = 4.39
)

// Reflectances of the skin of faces, and of a white shirt, for a look at where
// they come out. They are averages: shine and make-up decide [Viera2005; the
// shirt common practice, no source].
const (
	LightSkin  = 0.36
	BrownSkin  = 0.16
	DarkSkin   = 0.10
	WhiteShirt = 0.80
)

// SurfaceOverGrey returns how many stops a matt surface of a reflectance, over 0
// and up to 1, comes out over grey under the key: 1 for light skin.
func SurfaceOverGrey(reflectance float64) float64 {
	return Stops(reflectance / photometry.MiddleGrey)
}
