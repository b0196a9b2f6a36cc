package lamp

import (
	"linkboy/colour"
	"linkboy/colour/spectra"
)

// lightOf returns the light of a spectrum.
func lightOf(s spectra.Spectrum) colour.XYZ {
	if l, ok := any(s).(interface{ XYZ() colour.XYZ }); ok {
		return l.XYZ()
	}
	return colour.XYZ{}
}
