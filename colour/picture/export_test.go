package picture

import (
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// Compress is compress, for tests.
func Compress(v [3]float32) [3]float32 {
	compress(&v)
	return v
}

// Scatter is what the air gives along a ray for a lumen of one source, as scatter does.
func Scatter(scene *solid.Scene, ray solid.Ray, far, extinction float64, source transport.Source) float64 {
	row := []float32{0}
	scatter(scene, ray, far, extinction, 0.5, []transport.Source{source}, []int{0}, row)
	return float64(row[0])
}
