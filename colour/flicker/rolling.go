package flicker

// Readout times of cameras with a rolling shutter, in seconds: medians of 52
// cameras in an open collection of measurements, for the picture of 4096 or 3840
// pixels at 24, 60 and 120 frames a second. At 24 four of five lie between 9 and
// 31 ms. Measure the camera that shoots.
const (
	Readout24  = 0.021
	Readout60  = 0.0139
	Readout120 = 0.0061
)

// Bars returns how many bars a light that pulses at hz draws down a picture that
// a rolling shutter reads in the given time: f T. They are seen when the swing
// within the exposure is (see LeastVisibleStops); of under one bar a part is
// seen, as a slope.
//
// 1 kHz and 16 ms: 16 bars.
func Bars(hz, readout float64) float64 { return hz * readout }
