package flicker

// Shot is how a camera takes its frames.
type Shot struct {
	FPS     float64 // frames a second, above 0
	Seconds float64 // exposure time, over 0 and up to 1/FPS
	Readout float64 // from the first row to the last, 0 for a global shutter
}

// SplitShare returns the share of frames, 0 to 1, in which an instant flip at
// any moment shows split or blended. A flip is clean only between the end of
// one frame's last row and the start of the next frame's first:
//
//	min(1, (t + readout)/T),  T = 1/fps
//
// 24 frames a second and 180 degrees: 50 % with a global shutter, 86 % with
// 15 ms of readout, all of them with 21 ms.
func (s Shot) SplitShare() float64 {
	return min(1, (s.Seconds+s.Readout)*s.FPS)
}

// CleanWindow returns how long in every frame a flip falls between frames, in
// seconds: T - t - readout, and 0 where there is no such moment. Only a camera
// that gives the beat can aim at it: log the flip's timecode, offer a fade of a
// frame or two, and promise no clean cut without.
func (s Shot) CleanWindow() float64 {
	return max(0, 1/s.FPS-s.Seconds-s.Readout)
}
