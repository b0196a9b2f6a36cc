package flicker

import (
	"math"

	"linkboy/colour/exposure"
	"linkboy/colour/photometry"
)

// Mains is the frequency of a mains supply in Hz: 50 or 60. Lamps that follow it
// pulse twice a period.
type Mains float64

// LightHz returns how often light pulses: twice the frequency.
func (m Mains) LightHz() float64 { return 2 * float64(m) }

// sameHz is as near as two frequencies must be to be one, a share of them:
// room for the rounding of frame rates written as fractions.
const sameHz = 1e-9

// SafeAngles returns the shutter angles, rising and up to 360 degrees, at which
// every exposure holds a whole number of pulses, so that all frames are alike
// wherever they start: 360 fps k/(2f) for k from 1. None where a frame is
// shorter than a pulse.
//
// At 50 Hz and 24 frames a second: 86.4, 172.8, 259.2, 345.6.
func (m Mains) SafeAngles(fps float64) []photometry.Degrees {
	var angles []photometry.Degrees
	for k := 1; k <= m.pulsesAFrame(fps); k++ {
		angles = append(angles, m.safeAngle(k, fps))
	}
	return angles
}

// NearestSafeAngle returns the safe angle nearest to a shutter angle, the
// smaller of two that are as near; false where there is none.
func (m Mains) NearestSafeAngle(angle photometry.Degrees, fps float64) (photometry.Degrees, bool) {
	most := m.pulsesAFrame(fps)
	if most == 0 {
		return 0, false
	}
	pulses := exposure.ShutterSeconds(angle, fps) * m.LightHz()
	k := int(min(max(math.Ceil(pulses-0.5), 1), float64(most)))
	return m.safeAngle(k, fps), true
}

// pulsesAFrame is how many whole pulses fit in a frame.
func (m Mains) pulsesAFrame(fps float64) int {
	return int(m.LightHz() / fps * (1 + sameHz))
}

func (m Mains) safeAngle(k int, fps float64) photometry.Degrees {
	return min(exposure.ShutterAngle(float64(k)/m.LightHz(), fps), 360)
}

// Beat returns how often in a second the brightness of a picture goes up and
// down, at a shutter angle that is not safe, under a light that pulses at hz:
// the distance from hz to the nearest multiple of the frame rate. 0 means that
// every frame catches the pulses alike at any angle, so nothing pulses between
// frames; a rolling shutter may still show bars that stand still (common
// practice, no source).
//
// 23.976 frames a second under 60 Hz mains: 0.12 Hz, a roll of 8.3 s.
func Beat(hz, fps float64) float64 {
	away := math.Abs(hz - fps*math.Round(hz/fps))
	if away < hz*sameHz {
		return 0
	}
	return away
}
