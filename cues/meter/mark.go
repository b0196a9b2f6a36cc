package meter

import (
	"math"

	"linkboy/colour/camera"
	"linkboy/colour/exposure"
	"linkboy/colour/photometry"
	"linkboy/colour/solid"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// Reading is what is metered at a mark, where a face would be.
type Reading struct {
	Mark string
	// Lux falls on a flat receptor that looks at the camera, KeyLux on one that
	// looks at the key, UpLux on one that looks up.
	Lux, KeyLux, UpLux float64
	// Stop is the T-stop for Lux at the camera's sensitivity and shutter, Over by
	// how many stops Lux is over what the camera's own stop asks for.
	Stop, Over float64
	Groups     []GroupReading // those with light at the mark, in the location's order
	Ratio      *Ratio         // nil without a key, or with nothing beside it
	Spots      []Spot
	// Shadow is by how many stops the operator at the camera takes light from the
	// mark; 0 for none.
	Shadow float64
}

// GroupReading is the light of one group alone.
type GroupReading struct {
	Group string
	// Lux falls on a receptor turned to where the group's light is strongest,
	// Camera on one that looks at the camera.
	Lux, Camera float64
	// UnderKey is how many stops Lux is under the key's; nil for the key itself
	// and without one.
	UnderKey *float64
}

// Ratio sets the key against all other light, on a receptor that looks at the
// camera. Crews mean either; say which.
type Ratio struct {
	KeyFill exposure.KeyFill
	SumFill exposure.SumFill
}

// Spot is what a surface at the mark, lit as Lux is, comes out at.
type Spot struct {
	Name        string
	Reflectance float64
	// Over is how far the channels of the camera are over grey, in stops: red, green
	// and blue, nil where one gets nothing. Margin is what the hottest has left
	// before it clips.
	Over    [3]*float64
	Hottest camera.Channel
	Margin  float64
}

// surfaces that are metered at each mark.
var surfaces = []struct {
	name        string
	reflectance float64
}{{"skin", exposure.LightSkin}, {"white", exposure.WhiteShirt}}

// Marks reads every mark of the location that is a point.
func (m *Meter) Marks() []Reading {
	var all []Reading
	for i := range m.set.Plan.Location.Marks {
		if mark := &m.set.Plan.Location.Marks[i]; len(mark.Points) == 1 {
			all = append(all, m.Mark(mark))
		}
	}
	return all
}

// Mark reads the first point of a mark.
func (m *Meter) Mark(mark *cues.Mark) Reading {
	face := faceOf(mark)
	at := m.probe(face, m.toward(face))
	r := Reading{Mark: mark.Name, Lux: m.lux(at, nil)}
	r.UpLux = m.lux(m.probe(face, solid.Vec{Z: 1}), nil)
	r.Stop = exposure.Standard.Stop(photometry.Lux(r.Lux), m.camera.Settings())
	r.Over = stops(r.Lux, m.camera.KeyLux())
	key := 0.0
	if cells := m.members(m.key); len(cells) > 0 {
		own := m.probe(face, m.from(face, cells))
		key, r.KeyLux = m.lux(own, cells), m.lux(own, nil)
		r.Ratio = ratioOf(m.lux(at, cells), r.Lux)
	}
	r.Groups = m.groups(face, at, key)
	seen := m.seen(at)
	for _, s := range surfaces {
		r.Spots = append(r.Spots, m.spot(s.name, s.reflectance, seen))
	}
	r.Shadow = m.shadow(face, at)
	return r
}

// toward is the direction from a face to the camera.
func (m *Meter) toward(face solid.Vec) solid.Vec {
	d := stage.Vec(m.setup.Camera).Sub(face).Unit()
	if d == (solid.Vec{}) {
		return solid.Vec{Y: -1}
	}
	return d
}

// from is the direction that the light of some cells comes from at a face, each as it
// shines now.
func (m *Meter) from(face solid.Vec, cells []int) solid.Vec {
	return steady(m.strongest(face, cells, func(k int) float64 { return m.cells[cells[k]].Y }))
}

// groups reads each group alone. key is the key's own light there, 0 for none.
func (m *Meter) groups(face solid.Vec, at rows, key float64) []GroupReading {
	var all []GroupReading
	for _, g := range m.set.Plan.Location.Groups {
		cells := m.members(g.Name)
		if len(cells) == 0 {
			continue
		}
		r := GroupReading{Group: g.Name, Camera: m.lux(at, cells), Lux: m.lux(m.probe(face, m.from(face, cells)), cells)}
		if !(r.Lux > 0) {
			continue
		}
		if key > 0 && g.Name != m.key {
			under := stops(key, r.Lux)
			r.UnderKey = &under
		}
		all = append(all, r)
	}
	return all
}

func ratioOf(key, all float64) *Ratio {
	fill := all - key
	if !(key > 0 && fill > 0) {
		return nil
	}
	r := &Ratio{}
	r.KeyFill, r.SumFill = exposure.RatioOf(photometry.Lux(key), photometry.Lux(fill))
	return r
}

// spot is what a surface comes out at under the camera's exposure.
func (m *Meter) spot(name string, reflectance float64, seen [3]float64) Spot {
	s := Spot{Name: name, Reflectance: reflectance}
	most := float64(-darkest)
	for c, lux := range seen {
		if !(lux > 0) {
			continue
		}
		over := stops(lux, m.camera.KeyLux()) + math.Log2(reflectance/photometry.MiddleGrey)
		s.Over[c] = &over
		if over > most {
			most, s.Hottest = over, camera.Channel(c)
		}
	}
	s.Margin = m.camera.Over - most
	return s
}

// stops is how many stops a is over b; far below where a is nothing.
func stops(a, b float64) float64 { return max(math.Log2(a/b), -darkest) }

// darkest is how far under anything darkness is said to be, in stops: JSON has no
// infinity.
const darkest = 99
