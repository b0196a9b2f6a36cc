package calibrate

import (
	"cmp"
	"fmt"
	"slices"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

// What readings of one thing may differ by before they are named. A meter in
// the hand repeats to a few per cent and to 0.002 u'v' (common practice, no
// source).
const (
	doubleStops = 0.25
	doubleUV    = 0.006
	// levelUV is how far a colour may drift with the level.
	levelUV = 0.01
)

// Fit returns the type of one unit: a copy of t, of its own, whose emitters and
// dimmer curve are those that meet the readings best. The readings were taken
// in mode m of t. The report says what was done and how far each reading is
// from the result; the faults, in the order of the readings, what is wrong or
// odd, and whether it was left out. What was not read is as t has it. Neither t
// nor readings are changed.
//
// Lumens and curve are fitted together, in least squares of the logarithm of
// light: each emitter has its lumens and all share one curve, which is also
// that of the other modes which had the same. Without a reading at full
// control, the highest level read is taken to lie on the type's curve. Lights
// that fall with rising control are levelled [Bar1972].
//
// The colour of an emitter is that read at its highest level: the mean of the
// spectra, or else of the xy (see Warp).
func Fit(t *lamp.Type, m *lamp.Mode, readings []Reading) (*lamp.Type, Report, []Fault) {
	f := &fit{made: t, mode: m, unit: clone(t)}
	f.vet(readings)
	f.contradictions()
	f.colours()
	f.levels()
	f.summary()
	f.residuals()
	f.outliers()
	slices.SortStableFunc(f.faults, func(a, b Fault) int { return cmp.Compare(a.Reading, b.Reading) })
	return f.unit, f.report, f.faults
}

// fit is one fit in the making.
type fit struct {
	*vetter
	made     *lamp.Type
	mode     *lamp.Mode
	unit     *lamp.Type
	readings []*vetted
	curve    emitters.Curve // of the unit
	report   Report
	lumensBy []By
	colourBy []By
}

// clone copies a type so that neither copy sees what is done to the other.
func clone(t *lamp.Type) *lamp.Type {
	own := *t
	own.Emitters = slices.Clone(t.Emitters)
	own.Modes = slices.Clone(t.Modes)
	for i, m := range t.Modes {
		mode := *m
		mode.Channels = slices.Clone(m.Channels)
		own.Modes[i] = &mode
	}
	return &own
}

// vet takes in the readings and looks at each by itself.
func (f *fit) vet(readings []Reading) {
	f.curve = curveOf(f.mode.Curve)
	f.vetter = &vetter{t: f.made, m: f.mode, light: f.curve.Light}
	f.law, f.lawless = LawOf(f.made)
	for _, e := range f.made.Emitters {
		f.own = append(f.own, e.Spectrum.XYZ().XY())
	}
	for i, r := range readings {
		v := &vetted{Reading: r, index: i}
		f.vetter.vet(v)
		f.readings = append(f.readings, v)
	}
	f.lumensBy, f.colourBy = make([]By, len(f.made.Emitters)), make([]By, len(f.made.Emitters))
	for i := range f.made.Emitters {
		f.lumensBy[i], f.colourBy[i] = ByType, ByType
	}
}

// curveOf returns the curve of a name, linear for one that is none.
func curveOf(name lamp.Curve) emitters.Curve {
	c, err := emitters.CurveByName(string(name))
	if err != nil {
		c, _ = emitters.CurveByName(emitters.LinearName)
	}
	return c
}

// summary fills in the emitters and the curve of the report.
func (f *fit) summary() {
	f.report.Law = f.law.String()
	f.report.Made = f.mode.Curve
	f.report.Curve = f.mode.Curve
	for i, m := range f.made.Modes {
		if m == f.mode {
			f.report.Curve = f.unit.Modes[i].Curve
		}
	}
	f.curve = curveOf(f.report.Curve)
	for i, e := range f.unit.Emitters {
		f.report.Emitters = append(f.report.Emitters, Emitter{
			Name: e.Name, LumensBy: f.lumensBy[i], SpectrumBy: f.colourBy[i],
			Lumens: e.Lumens, MadeLumens: f.made.Emitters[i].Lumens,
			XY: e.Spectrum.XYZ().XY(), MadeXY: f.own[i],
		})
	}
}

// outliers names readings that the fit, which uses them, does not meet.
func (f *fit) outliers() {
	named := map[int]bool{}
	for _, fault := range f.faults {
		if fault.Kind == Contradiction || fault.Kind == FallingCurve {
			named[fault.Reading] = true
			for _, i := range fault.Against {
				named[i] = true
			}
		}
	}
	for i, v := range f.readings {
		r := f.report.Readings[i]
		if named[i] {
			continue
		}
		if v.lux && (r.Stops > doubleStops || r.Stops < -doubleStops) {
			f.fault(v, Contradiction, false, fmt.Sprintf("%g lx at %g m", v.Lux, v.DistanceM),
				fmt.Sprintf("the other readings of the lamp say %+.2f stop", -r.Stops), "read it again; emitters of one lamp share one dimmer curve")
		}
		if v.tint && r.DeltaUV > levelUV {
			f.fault(v, Contradiction, false, "xy "+short(v.colour),
				fmt.Sprintf("the emitter's colour at its highest level lies %.3f u'v' away; that one is believed", r.DeltaUV), "read it again without other light; the dark room's own tells at low levels")
		}
	}
}
