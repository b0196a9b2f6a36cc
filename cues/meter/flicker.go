package meter

import (
	"math"

	"linkboy/colour/exposure"
	"linkboy/colour/flicker"
	"linkboy/colour/photometry"
)

// Mains is what the camera makes of lamps that follow the mains: of house lights
// and street lamps in shot, not of ours.
type Mains struct {
	Hz flicker.Mains
	// Safe tells that every frame catches whole pulses. Nearest is the shutter
	// angle that does; HasNearest is false where none does.
	Safe       bool
	Nearest    photometry.Degrees
	HasNearest bool
	// Ripple is by how much frames of a fully modulated lamp differ, up and down
	// from the mean, 0..1, and Beat how often a second they go up and down; 0 for
	// not at all.
	Ripple, Beat float64
}

// safeWithin is how near to a safe angle a shutter is as safe, in degrees: dials
// are marked to a tenth.
const safeWithin = 0.11

// Mains reads the camera's shutter against both mains frequencies.
func (m *Meter) Mains() []Mains {
	var all []Mains
	angle, fps := photometry.Degrees(m.camera.ShutterDeg), m.camera.FPS
	for _, hz := range []flicker.Mains{50, 60} {
		r := Mains{Hz: hz, Beat: flicker.Beat(hz.LightHz(), fps)}
		r.Nearest, r.HasNearest = hz.NearestSafeAngle(angle, fps)
		r.Safe = r.HasNearest && math.Abs(float64(r.Nearest-angle)) < safeWithin
		if !r.Safe {
			r.Ripple = flicker.Sine{Hz: hz.LightHz(), Depth: 1}.Ripple(exposure.ShutterSeconds(angle, fps))
		}
		all = append(all, r)
	}
	return all
}

// Flip is what the camera makes of a look that flips in no time, with a shutter that
// reads all rows at once and with one that takes Readout seconds.
type Flip struct {
	Readout      float64
	Split, Clean float64 // share of flips that show split or blended; seconds a frame that are clean
}

// readout is the middle of 52 cameras measured at 24 frames of 4k (an open
// collection of rolling-shutter measurements).
const readout = 0.021

// Flips reads the camera's shutter against an instant change.
func (m *Meter) Flips() []Flip {
	var all []Flip
	for _, r := range []float64{0, readout} {
		s := flicker.Shot{FPS: m.camera.FPS, Seconds: m.camera.Settings().Seconds, Readout: r}
		all = append(all, Flip{r, s.SplitShare(), s.CleanWindow()})
	}
	return all
}
