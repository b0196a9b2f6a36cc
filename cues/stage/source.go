package stage

import (
	"errors"

	"linkboy/colour/lamp"
	"linkboy/colour/photometry"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
)

const (
	// lying is the height, in metres, under which a lamp without aim lies on the
	// ground and looks up; above it hangs and looks down (common practice, no
	// source).
	lying = 0.5
	// faceLeast is the least side of a face, in metres, where the type tells none.
	faceLeast = 0.02
)

// sourceOf gives the light of a cell, as wide as its type says, and what is seen of it.
func sourceOf(c *compile.Cell) (transport.Source, solid.Surface, error) {
	t, n := c.Lamp.Lamp.Type, float64(c.Lamp.Lamp.Mode.Cells)
	long, wide := max(t.Photometry.LengthM, faceLeast)/n, max(t.Photometry.WidthM, faceLeast)
	along, across, facing := axes(c.Lamp)
	s := transport.Source{Centre: Vec(c.Place), Along: along.Scale(long)}
	if t.Class == lamp.Tube && !c.Lamp.HasAim {
		face, err := solid.NewTube(s.Centre.Sub(s.Along.Scale(0.5)), s.Along, wide/2)
		return s, face, err
	}
	b, err := beamOf(t.Photometry, c.Lamp.Diffusion)
	if err != nil {
		return s, solid.Surface{}, err
	}
	s.Facing, s.Beam = facing, b
	if c.Lamp.Gobo != nil {
		base, err := bare(t.Photometry)
		if err != nil {
			return s, solid.Surface{}, err
		}
		s.Mask = maskOf(c.Lamp, facing, base, base)
	}
	flat := across.Scale(wide)
	face, err := solid.NewRectangle(s.Centre.Sub(s.Along.Scale(0.5)).Sub(flat.Scale(0.5)), s.Along, flat)
	if t.Class != lamp.Tube { // the width of a tube is nothing to its light
		s.Across = flat
	}
	return s, face, err
}

// axes are the unit axes of a lamp: along its cells, across them, and where it
// looks, right-handed. Along is turned so that it is square to where it looks.
func axes(l *cues.RigLamp) (along, across, facing solid.Vec) {
	facing = solid.Vec{Z: -1}
	if l.Place[2] < lying {
		facing = solid.Vec{Z: 1}
	}
	along = Vec(l.Along).Unit()
	if l.HasAim {
		facing = Vec(l.Aim).Sub(Vec(l.Place)).Unit()
	}
	if along == (solid.Vec{}) || along.Cross(facing).Length() < 1e-6 {
		along = solid.Vec{Z: 1}.Cross(facing) // level
		if along.Length() < 1e-6 {
			along = solid.Vec{X: 1}
		}
		along = along.Unit()
	}
	if l.HasAim && l.Lamp.Type.Class != lamp.Tube {
		along = along.Sub(facing.Scale(along.Dot(facing))).Unit()
	} else {
		facing = facing.Sub(along.Scale(facing.Dot(along))).Unit()
	}
	return along, facing.Cross(along), facing
}

// matt is the beam of a matt face, in degrees.
const matt = 120

// beamOf gives the beam behind a diffusion, nil for none, for a lumen that passes
// it: what it keeps is taken off by Eye.
func beamOf(p lamp.Photometry, d *cues.Diffusion) (transport.Beam, error) {
	if p.BeamDeg == matt || d != nil && d.WidensDeg >= matt {
		return transport.Lambert{}, nil // no diffusion spreads light farther
	}
	b, err := bare(p)
	if err != nil {
		return nil, err
	}
	return behind(b, d)
}

// behind gives a beam behind a diffusion, nil for none.
func behind(b photometry.Beam, d *cues.Diffusion) (transport.Optics, error) {
	var err error
	if d != nil {
		b, err = photometry.Diffusion{Factor: 1, Widening: photometry.Degrees(d.WidensDeg)}.Beam(b)
	}
	return transport.Optics{Peak: float64(b.Peak), Power: b.Exponent(), Shape: b.Shape()}, err
}

func bare(p lamp.Photometry) (photometry.Beam, error) {
	switch {
	case p.BeamDeg == 0:
		return photometry.Beam{}, errors.New("its beam is not known")
	case p.FieldDeg == 0:
		return photometry.NewBeam(1, photometry.Degrees(p.BeamDeg))
	}
	return photometry.NewBeamField(1, photometry.Degrees(p.BeamDeg), photometry.Degrees(p.FieldDeg))
}
