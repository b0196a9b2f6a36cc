package showfile

import (
	"fmt"
	"io"

	"gopkg.in/yaml.v3"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
	"linkboy/cues"
)

// Ranges of what a meter reads. What cannot be of a lamp is told by the fit,
// which knows the lamp.
var (
	luxes     = span{0, 10_000_000}
	distances = span{0, 10_000}
)

// calibrate reads the readings of lamp k and gives it a type of its own, fitted
// to them.
func (l *loader) calibrate(r *reader, n *yaml.Node, k *cues.KitLamp) {
	var readings []calibrate.Reading
	var nodes []*yaml.Node // of the readings; nil where one has a problem of its own
	r.items(n, "readings", func(item *yaml.Node) {
		reading, ok := l.reading(r, item, k.Type)
		if !ok {
			// Stands in its place, so that others are counted as they stand.
			reading, item = calibrate.Reading{}, nil
		}
		readings, nodes = append(readings, reading), append(nodes, item)
	})
	if len(readings) == 0 {
		return
	}
	unit, report, faults := calibrate.Fit(k.Type, k.Mode, readings)
	for i := range faults {
		if at := nodes[faults[i].Reading]; at != nil {
			r.fault(at, &faults[i])
		}
	}
	k.Calibration = &cues.Calibration{Made: k.Type, Readings: readings, Report: report}
	k.Type = unit
	k.Mode, _ = unit.Mode(k.Mode.Name)
}

// fault tells what is wrong with the reading at n.
func (r *reader) fault(n *yaml.Node, f *calibrate.Fault) {
	code := map[calibrate.Kind]string{
		calibrate.UnknownEmitter: cues.CodeUnknownEmitter,
		calibrate.Impossible:     cues.CodeBadReading,
		calibrate.WrongUnit:      cues.CodeReadingUnit,
		calibrate.FarFromType:    cues.CodeReadingFar,
		calibrate.NoPhotometry:   cues.CodeReadingUnused,
		calibrate.Contradiction:  cues.CodeReadingsClash,
		calibrate.FallingCurve:   cues.CodeCurveFalls,
	}[f.Kind]
	r.problem(n, code, fmt.Sprintf("reading of %s: %s", f.Emitter, f.What), f.Why, f.Mend)
}

// reading reads one reading of a lamp of type t; false after a problem.
func (l *loader) reading(r *reader, n *yaml.Node, t *lamp.Type) (calibrate.Reading, bool) {
	before := len(r.sink.problems) + r.sink.dropped
	reading, whole := calibrate.Reading{Drive: 1}, true
	r.keys(n, "a reading", schema{
		"emitter": need(func(n *yaml.Node) { reading.Emitter = r.emitter(n, t) }),
		"drive":   may(r.percent(&reading.Drive, "drive")),
		"lux":     may(r.measured(&reading.Lux, "lux", "lx", luxes)),
		"at":      may(r.measured(&reading.DistanceM, "the distance", "m", distances)),
		"xy":      may(r.chromaticity(&reading.XY)),
		"spectrum": may(func(n *yaml.Node) {
			reading.Spectrum = l.spectrumFile(r, n)
			whole = reading.Spectrum != nil
		}),
	})
	return reading, whole && len(r.sink.problems)+r.sink.dropped == before
}

func (r *reader) emitter(n *yaml.Node, t *lamp.Type) string {
	text := r.text(n, "the emitter")
	var names []string
	for _, e := range t.Emitters {
		if names = append(names, e.Name); e.Name == text {
			return text
		}
	}
	if text != "" {
		r.unknown(n, cues.CodeUnknownEmitter, fmt.Sprintf("%s has no emitter %q", t.Name, shorten(text)), text, names)
	}
	return ""
}

// meterUnits are units that meters and tapes show, in lx and m.
var meterUnits = map[string]map[string]float64{
	"lx": {"fc": 10.7639104, "ft-c": 10.7639104, "klx": 1000},
	"m":  {"mm": 0.001, "cm": 0.01, "ft": 0.3048, "in": 0.0254},
}

// measured reads a quantity as r.into does, and tells what it is in unit when
// it is given in another one.
func (r *reader) measured(dst *float64, what, unit string, in span) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if n.Kind == yaml.ScalarNode {
			amount, rest, ok := splitAmount(n.Value)
			if factor, other := meterUnits[unit][rest]; ok && other {
				r.problem(n, cues.CodeBadUnit, fmt.Sprintf("%q has the wrong unit for %s", shorten(n.Value), what), unitWhy(unit),
					"write "+withUnit(fmt.Sprintf("%.4g", amount*factor), unit))
				return
			}
		}
		*dst, _ = r.quantity(n, what, unit, in, false)
	}
}

func (r *reader) chromaticity(dst *colour.XY) func(*yaml.Node) {
	return func(n *yaml.Node) {
		var pair [2]float64
		r.pair(&pair, "xy")(n)
		*dst = colour.XY{X: pair[0], Y: pair[1]}
	}
}

// spectrumFile reads a measured spectrum; nil after a problem.
func (l *loader) spectrumFile(r *reader, n *yaml.Node) *spectra.Spectrum {
	file := r.text(n, "the spectrum")
	if file == "" {
		return nil
	}
	if s, known := l.measured[file]; known {
		return s
	}
	l.table(r, n, tableFile{
		name: file, example: "readings/t1-red.csv", missing: cues.CodeUnknownSpectrum, bad: cues.CodeBadSpectrum,
		why: "a measured spectrum is read from it", mend: "copy the meter's table into the show's folder, or leave the spectrum out",
	}, func(f io.Reader) error {
		s, err := calibrate.ReadCSV(f, file)
		l.measured[file] = nil // what is wrong in it is told once
		if err == nil {
			l.measured[file] = &s
		}
		return err
	})
	return l.measured[file]
}
