package showfile

import (
	"errors"
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues"
)

// Ranges of a lamp type's numbers.
var (
	cellCounts = span{1, 512}
	lumens     = span{0.001, 10_000_000}
	angles     = span{0, 360}
	faces      = span{0, 100}
	watts      = span{0, 1_000_000}
	pulseRates = span{20, 10_000_000}
	leftOver   = span{0, 99}
)

// readTypes reads lamps/*.yaml. A type of the show with the name of a
// built-in one stands in its place.
func (l *loader) readTypes() {
	for _, t := range BuiltinTypes() {
		l.types[t.Name] = t
	}
	for _, file := range l.folder("lamps") {
		name := baseName(file)
		l.types[name] = nil
		if r, root, ok := l.open(file, false); ok {
			l.types[name] = r.lampType(root, name, file)
		}
	}
	for _, name := range sortedKeys(l.types) {
		if t := l.types[name]; t != nil {
			l.show.Types = append(l.show.Types, t)
		}
	}
}

// typeReader reads one lamp type and remembers where its parts stand.
type typeReader struct {
	*reader
	t      *lamp.Type
	params map[string]*lamp.Param
	places map[string]cues.Pos // "mode 16-cell", "emitter red"
	curve  lamp.Curve
}

// lampType reads a lamp type; nil after a problem.
func (r *reader) lampType(root *yaml.Node, name, file string) *lamp.Type {
	before := len(r.sink.problems) + r.sink.dropped
	if root == nil {
		root = &yaml.Node{Kind: yaml.MappingNode}
	}
	t := &typeReader{
		reader: r,
		t:      &lamp.Type{Name: name, Cells: 1, Source: file},
		params: map[string]*lamp.Param{},
		places: map[string]cues.Pos{},
		curve:  lamp.Curve(emitters.LinearName),
	}
	var modes, params, photometry *yaml.Node
	r.goodName(root, "a lamp type", name, false)
	r.keys(root, "the lamp type", schema{
		"title":      may(func(n *yaml.Node) { t.t.Title = r.text(n, "the title") }),
		"class":      need(func(n *yaml.Node) { t.t.Class = lamp.Class(r.word(n, "class of lamp", classes...)) }),
		"invented":   may(func(n *yaml.Node) { t.t.Invented = r.yesNo(n, "invented") }),
		"cells":      may(func(n *yaml.Node) { t.t.Cells = r.whole(n, "cells", cellCounts) }),
		"emitters":   may(t.emitters),
		"photometry": may(func(n *yaml.Node) { photometry = n; t.photometry(n) }),
		"power":      may(t.power),
		"pwm":        may(t.pwm),
		"curve":      may(func(n *yaml.Node) { t.curve = r.dimmerCurve(n) }),
		"parameters": may(func(n *yaml.Node) { params = n }),
		"modes":      need(func(n *yaml.Node) { modes = n }),
	})
	if photometry == nil && len(t.t.Emitters) > 0 {
		r.problem(root, cues.CodeMissingKey, `the lamp type has no "photometry"`, "its light has to go somewhere",
			"add photometry: {beam, field, length, width}")
	}
	if params != nil {
		t.parameters(params)
		for _, p := range t.params {
			p.Stops = p.Stops || t.t.Class == lamp.Fog
		}
	}
	if modes != nil {
		t.modes(modes)
	}
	if len(r.sink.problems)+r.sink.dropped == before {
		t.validate(root)
	}
	if len(r.sink.problems)+r.sink.dropped > before {
		return nil
	}
	return t.t
}

var classes = []string{string(lamp.Tube), string(lamp.Panel), string(lamp.Spot), string(lamp.Puck), string(lamp.Fog)}

// dimmerCurve reads a curve by name, or one through measured points as
// emitters.Through names it.
func (r *reader) dimmerCurve(n *yaml.Node) lamp.Curve {
	if text := r.text(n, "dimmer curve"); strings.Contains(text, " through ") {
		if _, err := emitters.CurveByName(text); err != nil {
			r.problem(n, cues.CodeBadWord, fmt.Sprintf("%q is no dimmer curve", shorten(text)), err.Error(),
				"write it like square through 10%:0.9% 50%:24%, each point as control:light")
			return ""
		}
		return lamp.Curve(text)
	}
	return lamp.Curve(r.word(n, "dimmer curve", emitters.CurveNames()...))
}

// validate tells the faults that the type has as a whole, each where its part stands.
func (t *typeReader) validate(root *yaml.Node) {
	for _, err := range t.t.Validate() {
		at, what, mend := t.pos(root), err.Error(), "compare it with a built-in lamp type"
		var fault *lamp.Fault
		if errors.As(err, &fault) {
			what, mend = fault.What, fault.Mend
			if fault.Part != "" {
				what = fault.Part + ": " + what
			}
			if p, ok := t.places["mode "+fault.Mode]; ok {
				at, what = p, fmt.Sprintf("mode %q: %s", fault.Mode, what)
			}
			for i, e := range t.t.Emitters {
				if strings.HasPrefix(fault.Part, fmt.Sprintf("emitter %d ", i+1)) {
					at = t.places["emitter "+e.Name]
				}
			}
		}
		t.sink.add(cues.NewProblem(at, cues.CodeBadLampType, what, "a lamp like this could not be driven", mend))
	}
}

func (t *typeReader) emitters(n *yaml.Node) {
	t.each(n, "emitters", func(key, value *yaml.Node) {
		if t.name(key, "an emitter") == "" || !t.present(key, value) {
			return
		}
		e := lamp.Emitter{Name: key.Value}
		t.places["emitter "+e.Name] = t.pos(key)
		t.keys(value, fmt.Sprintf("emitter %q", e.Name), schema{
			"lumens":   need(t.into(&e.Lumens, "lumens", "lm", lumens)),
			"spectrum": need(func(n *yaml.Node) { e.Spectrum = t.spectrum(n) }),
		})
		t.t.Emitters = append(t.t.Emitters, e)
	})
}

func (t *typeReader) photometry(n *yaml.Node) {
	p := &t.t.Photometry
	t.keys(n, "photometry", schema{
		"beam":   need(t.into(&p.BeamDeg, "the beam angle", "deg", angles)),
		"field":  need(t.into(&p.FieldDeg, "the field angle", "deg", angles)),
		"length": need(t.into(&p.LengthM, "the length", "m", faces)),
		"width":  need(t.into(&p.WidthM, "the width", "m", faces)),
	})
}

func (t *typeReader) power(n *yaml.Node) {
	p := &t.t.Power
	t.keys(n, "power", schema{
		"full":    need(t.into(&p.FullW, "the power at full", "W", watts)),
		"standby": may(t.into(&p.StandbyW, "the power on stand-by", "W", watts)),
	})
}

// pwm reads how the lamp dims: a frequency, or a map with what is left between pulses.
func (t *typeReader) pwm(n *yaml.Node) {
	rate := t.into(&t.t.PWM.Hz, "the frequency of its pulses", "Hz", pulseRates)
	if n.Kind != yaml.MappingNode {
		rate(n)
		return
	}
	t.keys(n, "pwm", schema{
		"rate": need(rate),
		"between": may(func(n *yaml.Node) {
			share, _ := t.quantity(n, "the light between pulses", "%", leftOver, true)
			t.t.PWM.Between = hundredth(share)
		}),
	})
}

// parameters reads the controls that are no colour.
func (t *typeReader) parameters(n *yaml.Node) {
	t.each(n, "parameters", func(key, value *yaml.Node) {
		if t.name(key, "a parameter") == "" || !t.present(key, value) {
			return
		}
		p := &lamp.Param{Name: key.Value}
		var safe *yaml.Node
		ok := t.keys(value, fmt.Sprintf("parameter %q", p.Name), schema{
			"unit":  may(func(n *yaml.Node) { p.Unit = t.word(n, "unit of a parameter", "%", "deg", "Hz") }),
			"range": need(func(n *yaml.Node) { t.paramRange(n, p) }),
			"safe":  need(func(n *yaml.Node) { safe = n }),
			"fades": may(func(n *yaml.Node) { p.Fades = t.yesNo(n, "fades") }),
			"stops": may(func(n *yaml.Node) { p.Stops = t.yesNo(n, "stops") }),
		})
		if ok && p.Min < p.Max {
			p.Safe, _ = t.quantity(safe, "the safe value of "+p.Name, p.Unit, span{p.Min, p.Max}, false)
		}
		t.params[p.Name] = p
	})
}

func (t *typeReader) paramRange(n *yaml.Node, p *lamp.Param) {
	var ends [2]float64
	if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
		t.problem(n, cues.CodeWrongShape, "a range must be two numbers", "this is "+countOf(n), "write it as [0, 25]: the values at control 0 and at full")
		return
	}
	for i := range ends {
		ends[i], _ = t.number(n.Content[i], "the range of "+p.Name, span{-1e6, 1e6})
	}
	if ends[0] >= ends[1] {
		t.problem(n, cues.CodeOutOfRange, fmt.Sprintf("the range of %s is empty", p.Name), "its first end must be less than its second",
			"write the value at control 0 first, then the value at full")
		return
	}
	p.Min, p.Max = ends[0], ends[1]
}
