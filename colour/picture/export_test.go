package picture

// Compress is compress, for tests.
func Compress(v [3]float32) [3]float32 {
	compress(&v)
	return v
}
