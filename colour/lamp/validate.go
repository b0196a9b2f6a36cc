package lamp

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"linkboy/colour/emitters"
)

// mostSlots is the most slots of one DMX512 universe (ANSI E1.11).
const mostSlots = 512

// Fault is one mistake in a lamp type.
type Fault struct {
	Type, Mode, Part string // Mode and Part (an emitter, a channel) may be empty
	What             string // what is wrong, and why it is
	Mend             string
}

func (f *Fault) Error() string {
	where := []string{fmt.Sprintf("lamp type %q", f.Type)}
	if f.Mode != "" {
		where = append(where, fmt.Sprintf("mode %q", f.Mode))
	}
	if f.Part != "" {
		where = append(where, f.Part)
	}
	return strings.Join(where, ", ") + ": " + f.What + "; " + f.Mend
}

// Validate returns every mistake in the type, each a *Fault, in the order of the
// type's parts; none when Encode, Decode and CellOf can be relied on.
func (t *Type) Validate() []error {
	v := &validator{t: t}
	v.shape()
	v.emitters()
	v.numbers()
	v.modes()
	return v.faults
}

// validator gathers the faults of a type; mode and part are where it is at.
type validator struct {
	t          *Type
	mode, part string
	faults     []error
}

func (v *validator) add(mend, what string, args ...any) {
	v.faults = append(v.faults, &Fault{Type: v.t.Name, Mode: v.mode, Part: v.part, What: fmt.Sprintf(what, args...), Mend: mend})
}

func (v *validator) shape() {
	classes := []Class{Tube, Panel, Spot, Puck, Fog}
	if v.t.Name == "" {
		v.add("give it the name by which a kit calls it", "it has no name")
	}
	if !slices.Contains(classes, v.t.Class) {
		v.add(fmt.Sprintf("use one of %q", classes), "unknown class %q", v.t.Class)
	}
	if len(v.t.Emitters) > 0 && v.t.Cells < 1 {
		v.add("say how many cells it has, at least 1", "%d cells, but it has emitters", v.t.Cells)
	}
	if v.t.Cells < 0 {
		v.add("use 0 or more", "%d cells", v.t.Cells)
	}
}

func (v *validator) emitters() {
	if n := len(v.t.Emitters); n > emitters.Max {
		v.add("leave out those that can be spared", "%d emitters, but a cell has at most %d", n, emitters.Max)
	}
	names := map[string]bool{}
	for i, e := range v.t.Emitters {
		v.part = fmt.Sprintf("emitter %d (%q)", i+1, e.Name)
		if e.Name == "" {
			v.add("name it by its colour", "it has no name")
		} else if names[e.Name] {
			v.add("give each emitter a name of its own", "another emitter has that name")
		}
		names[e.Name] = true
		if !(e.Lumens > 0) || math.IsInf(e.Lumens, 0) {
			v.add("give the lumens of the whole lamp with this emitter alone at full", "%g lumens is no light", e.Lumens)
		}
		v.spectrum(e)
	}
	v.part = ""
}

func (v *validator) spectrum(e Emitter) {
	for _, p := range e.Spectrum {
		if !(p >= 0) || math.IsInf(p, 0) {
			v.add("give powers of 0 or more", "its spectrum holds the power %g", p)
			return
		}
	}
	if !(e.Spectrum.XYZ().Y > 0) {
		v.add("give it some power in 380-780 nm", "its spectrum has no visible light")
	}
}

func (v *validator) numbers() {
	p, w := v.t.Photometry, v.t.Power
	for _, n := range []struct {
		name   string
		got    float64
		lo, hi float64
	}{
		{"beam angle", p.BeamDeg, 0, 360}, {"field angle", p.FieldDeg, 0, 360},
		{"length", p.LengthM, 0, 100}, {"width", p.WidthM, 0, 100},
		{"power at full", w.FullW, 0, 1e6}, {"power on stand-by", w.StandbyW, 0, 1e6},
	} {
		if !(n.got >= n.lo && n.got <= n.hi) {
			v.add(fmt.Sprintf("give %g to %g", n.lo, n.hi), "%s of %g is out of range", n.name, n.got)
		}
	}
	if m := v.t.PWM; !(m.Hz >= 0 && m.Hz <= 1e7 && m.Between >= 0 && m.Between < 1) {
		v.add("give a frequency up to 10 MHz, and under 100 % between the pulses", "it dims by pulses at %g Hz with %g of its light between them", m.Hz, m.Between)
	}
	if p.FieldDeg < p.BeamDeg {
		v.add("give the full angle to 10 % of the centre as field, to 50 % as beam", "field angle %g is narrower than beam angle %g", p.FieldDeg, p.BeamDeg)
	}
	if w.StandbyW > w.FullW {
		v.add("swap them, or mend the wrong one", "it takes %g W on stand-by, more than the %g W at full", w.StandbyW, w.FullW)
	}
}

func (v *validator) modes() {
	if len(v.t.Modes) == 0 {
		v.add("add at least one mode with its channels", "it has no mode, so it cannot be controlled")
	}
	names := map[string]bool{}
	for _, m := range v.t.Modes {
		v.mode = m.Name
		if m.Name == "" {
			v.add("name each mode", "a mode has no name")
		} else if names[m.Name] {
			v.add("give each mode a name of its own", "another mode has that name")
		}
		names[m.Name] = true
		v.modeShape(m)
		v.channels(m)
	}
	v.mode = ""
}

func (v *validator) modeShape(m *Mode) {
	if _, err := emitters.CurveByName(string(m.Curve)); err != nil {
		v.add(fmt.Sprintf("use one of %q", emitters.CurveNames()), "unknown dimmer curve %q", m.Curve)
	}
	if m.Footprint < 1 || m.Footprint > mostSlots {
		v.add(fmt.Sprintf("give 1 to %d, the slots of a universe", mostSlots), "footprint of %d slots", m.Footprint)
	}
	if len(v.t.Emitters) == 0 {
		return
	}
	if m.Cells < 1 || m.Cells > v.t.Cells || v.t.Cells%m.Cells != 0 {
		v.add("give a number of cells that divides the lamp's", "%d cells do not share out the lamp's %d evenly", m.Cells, v.t.Cells)
	}
}
