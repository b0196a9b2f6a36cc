package exposure

import "linkboy/colour/photometry"

// ShutterSeconds returns the exposure time of a shutter angle, over 0 and up to
// 360 degrees, at a frame rate: t = angle/(360 fps). 180 degrees at 24: 1/48 s.
func ShutterSeconds(angle photometry.Degrees, fps float64) float64 {
	return float64(angle) / (360 * fps)
}

// ShutterAngle returns the shutter angle of an exposure time: 360 fps t. A time
// that does not fit in a frame gives more than 360.
//
// 1/50 s at 24: 172.8 degrees.
func ShutterAngle(seconds, fps float64) photometry.Degrees {
	return photometry.Degrees(360 * fps * seconds)
}

// PlaybackSpeed returns how fast what was captured at one rate plays on a
// timeline of another, both in frames a second: 60 on 24 at 0.4. A time on
// screen times this is real time on set; music for it plays at its inverse.
func PlaybackSpeed(capture, timeline float64) float64 { return timeline / capture }
