package calibrate

import (
	"linkboy/colour"
	"linkboy/colour/spectra"
)

// colours gives the unit's emitters the spectra that were read, or the type's
// warped to the chromaticities that were.
func (f *fit) colours() {
	for i := range f.unit.Emitters {
		e := &f.unit.Emitters[i]
		if s, ok := f.meanSpectrum(i); ok {
			e.Spectrum, f.colourBy[i] = s, BySpectrum
		} else if xy, ok := f.meanXY(i); ok {
			e.Spectrum, _ = Warp(e.Spectrum, xy)
			f.colourBy[i] = ByXY
		}
	}
}

// brightest returns the readings of an emitter at the highest level among
// those that have.
func (f *fit) brightest(emitter int, have func(*vetted) bool) (top []*vetted) {
	for _, v := range f.readings {
		if v.emitter != emitter || !v.tint || !have(v) {
			continue
		}
		if len(top) > 0 && v.control > top[0].control {
			top = top[:0]
		}
		if len(top) == 0 || v.control == top[0].control {
			top = append(top, v)
		}
	}
	return top
}

// meanSpectrum returns the mean of an emitter's spectra, each at one lumen.
func (f *fit) meanSpectrum(emitter int) (mean spectra.Spectrum, ok bool) {
	top := f.brightest(emitter, func(v *vetted) bool { return v.Spectrum != nil })
	for _, v := range top {
		mean = mean.Add(v.Spectrum.Scale(1 / v.Spectrum.XYZ().Y / float64(len(top))))
	}
	return mean, len(top) > 0
}

// meanXY returns the chromaticity of an emitter: of equal lumens of those read.
func (f *fit) meanXY(emitter int) (colour.XY, bool) {
	var sum colour.XYZ
	top := f.brightest(emitter, func(v *vetted) bool { return v.hasXY() })
	for _, v := range top {
		one := v.XY.XYZ(1)
		sum = colour.XYZ{X: sum.X + one.X, Y: sum.Y + one.Y, Z: sum.Z + one.Z}
	}
	if len(top) == 0 {
		return colour.XY{}, false
	}
	return sum.XY(), true
}
