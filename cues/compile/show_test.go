package compile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/track"
)

// rig builds a show in memory, lamp by lamp. Its numbers are invented.
type rig struct {
	tb    testing.TB
	show  *cues.Show
	loc   *cues.Location
	types map[string]*lamp.Type
	slot  int
	port  uint16
}

func newRig(tb testing.TB) *rig {
	loc := &cues.Location{Name: "deep-end"}
	r := &rig{tb: tb, loc: loc, types: map[string]*lamp.Type{}, slot: 1, port: 1, show: &cues.Show{
		Title: "Tidewater", Timeline: 24, Camera: cues.Camera{FPS: 48, Balance: 4300},
		Cast: []*cues.Character{
			character("warden", colour.HueSat{Hue: 32, Sat: 0.92}, colour.HueSat{Hue: 8, Sat: 0.85}),
			character("tide", colour.HueSat{Hue: 186, Sat: 1}, colour.HueSat{Hue: 262, Sat: 0.9}),
		},
		Locations: []*cues.Location{loc},
	}}
	for _, t := range showfile.BuiltinTypes() {
		r.types[t.Name] = t
	}
	return r
}

func character(name string, lead, second colour.Form) *cues.Character {
	return &cues.Character{Name: name, Colours: []cues.NamedColour{
		{Name: "lead", Colour: cues.Colour{Form: lead}}, {Name: "second", Colour: cues.Colour{Form: second}},
	}}
}

// lamp adds a lamp on the next free slots and puts it into groups.
func (r *rig) lamp(kind, mode string, groups ...string) *cues.RigLamp {
	t, ok := r.types[kind]
	require.True(r.tb, ok, kind)
	m, ok := t.Mode(mode)
	require.True(r.tb, ok, mode)
	if r.slot+m.Footprint > 513 {
		r.slot, r.port = 1, r.port+1
	}
	id := fmt.Sprintf("L%d", len(r.show.Kit)+1)
	kit := &cues.KitLamp{ID: id, Type: t, Mode: m}
	l := &cues.RigLamp{ID: "at-" + id, Lamp: kit, Place: cues.Point{float64(len(r.loc.Rig)), 1, 0}, Along: cues.Point{0, 2, 0},
		Address: cues.Address{Port: r.port, Slot: r.slot}}
	r.slot += m.Footprint
	r.show.Kit = append(r.show.Kit, kit)
	r.loc.Rig = append(r.loc.Rig, l)
	for _, g := range groups {
		r.member(g, l, 0, m.Cells-1)
	}
	return l
}

func (r *rig) member(group string, l *cues.RigLamp, first, last int) {
	g := r.loc.Group(group)
	if g == nil {
		g = &cues.Group{Name: group}
		r.loc.Groups = append(r.loc.Groups, g)
	}
	g.Members = append(g.Members, cues.Member{Lamp: l, First: first, Last: last})
}

func (r *rig) look(name string, paint ...cues.Paint) *cues.Look {
	k := &cues.Look{Name: name, Paint: paint}
	r.loc.Looks = append(r.loc.Looks, k)
	return k
}

func (r *rig) place() *compile.Place {
	p, problems := compile.Location(r.show, r.loc)
	require.False(r.tb, problems.HasErrors(), problems)
	return p
}

func (r *rig) still(p *compile.Place, k *cues.Look) track.Still {
	s, _, problems := p.Still(k)
	require.False(r.tb, problems.HasErrors(), problems)
	return s
}

// solid is paint in one colour.
func solid(on string, form colour.Form, level float64) cues.Paint {
	return cues.Paint{On: on, Pattern: cues.Solid, Colours: []cues.Colour{{Form: form}}, Level: share(level)}
}

func share(v float64) cues.Level { return cues.Level{Kind: cues.Share, Value: v} }

func named(names ...string) []cues.Colour {
	var out []cues.Colour
	for _, n := range names {
		out = append(out, cues.Colour{Cast: n})
	}
	return out
}

// wire gives the light of every cell from the bytes that a still makes.
func wire(p *compile.Place, s track.Still) []colour.XYZ {
	out := make([]colour.XYZ, len(p.Cells))
	p.Light(p.Frame(s, false), out)
	return out
}

// wideModes lists every built-in type that gives light, with its mode of the
// fewest cells in 16 bits.
func wideModes() map[string]string {
	out := map[string]string{}
	for _, t := range showfile.BuiltinTypes() {
		if len(t.Emitters) == 0 {
			continue
		}
		for _, m := range t.Modes {
			if strings.HasSuffix(m.Name, "16-bit") && (m.Cells == 1) {
				out[t.Name] = m.Name
			}
		}
	}
	return out
}
