package main

import (
	"math"

	"linkboy/colour/camera"
	"linkboy/colour/exposure"
)

// defaultOver is how many stops a camera has from grey to clipping where no
// show says it: measured cameras have 5 to 8.
const defaultOver = 6

// clipsOverKey is by how many stops a light may meter over the key before a
// white shirt clips in a camera with over stops from grey to clipping.
func clipsOverKey(seen camera.Line, over float64) float64 {
	key := camera.Exposure{KeyLux: 1, OverStops: over} // relative to the key
	return math.Log2(key.MostLux(seen.ExcessStops, exposure.WhiteShirt))
}
