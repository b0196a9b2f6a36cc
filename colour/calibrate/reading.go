package calibrate

import (
	"linkboy/colour"
	"linkboy/colour/spectra"
)

// Reading is what a meter read of one emitter of one lamp, the others dark. It
// holds at least one of: lux at a distance, a chromaticity, a spectrum.
type Reading struct {
	Emitter string // as the lamp's type names it
	// Drive is the share of the emitter channel's control, above 0 to 1,
	// with the lamp's dimmer at full.
	Drive float64
	// Lux is the illuminance on the axis, facing the lamp, at DistanceM
	// metres from its face. Both are 0 when it was not read.
	Lux, DistanceM float64
	// XY is the chromaticity; the zero XY when it was not read.
	XY colour.XY
	// Spectrum is the relative spectrum, nil when it was not read. It stands
	// before XY where both are given.
	Spectrum *spectra.Spectrum
}

// hasLux reports whether the reading means to tell an illuminance.
func (r *Reading) hasLux() bool { return r.Lux != 0 || r.DistanceM != 0 }

// hasXY reports whether the reading means to tell a chromaticity.
func (r *Reading) hasXY() bool { return r.XY != (colour.XY{}) }

// chromaticity returns the colour that was read, false when none was.
func (r *Reading) chromaticity() (colour.XY, bool) {
	switch {
	case r.Spectrum != nil:
		return r.Spectrum.XYZ().XY(), true
	case r.hasXY():
		return r.XY, true
	}
	return colour.XY{}, false
}
