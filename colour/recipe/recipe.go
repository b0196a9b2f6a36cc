package recipe

import (
	"errors"
	"fmt"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// Errors of New.
var (
	ErrPolicy   = errors.New("no such policy")
	ErrNoLight  = errors.New("the lamp gives no light")
	ErrNoCamera = errors.New("the policy camera needs a camera")
	ErrUnseen   = errors.New("the camera does not see an emitter")
)

// Recipe solves colours for the cells of one lamp type in one mode by one policy. It is
// immutable and safe for concurrent use.
type Recipe struct {
	cell   *emitters.Cell
	policy Policy
	truest *truest // one of the two, by policy
	camera *forCamera
}

// New prepares a recipe for the cells of mode m of lamp type t. Only ForCamera looks at
// ref. The errors wrap ErrPolicy, ErrNoLight (a type without emitters), ErrNoCamera
// (ref is nil), ErrUnseen, or say what in the lamp type is wrong.
func New(t *lamp.Type, m *lamp.Mode, p Policy, ref *Reference) (*Recipe, error) {
	cell, err := t.CellOf(m)
	if err != nil {
		return nil, err
	}
	if cell == nil {
		return nil, fmt.Errorf("lamp type %q: %w", t.Name, ErrNoLight)
	}
	r := &Recipe{cell: cell, policy: p}
	switch p {
	case Brightest, "":
		r.policy = Brightest
	case Truest:
		r.truest, err = newTruest(cell, lightsOf(t, cell))
	case ForCamera:
		if ref == nil {
			return nil, fmt.Errorf("lamp type %q: %w", t.Name, ErrNoCamera)
		}
		r.camera, err = newForCamera(cell, lightsOf(t, cell), ref)
	default:
		return nil, fmt.Errorf("%w: %q", ErrPolicy, p)
	}
	if err != nil {
		return nil, fmt.Errorf("lamp type %q, policy %s: %w", t.Name, p, err)
	}
	return r, nil
}

// lightsOf returns the spectra of a cell's emitters at full, in W/nm.
func lightsOf(t *lamp.Type, c *emitters.Cell) []spectra.Spectrum {
	lights := make([]spectra.Spectrum, len(t.Emitters))
	for i, e := range c.Emitters() {
		s := t.Emitters[i].Spectrum
		lights[i] = s.Scale(e.Full.Y / s.XYZ().Y)
	}
	return lights
}

// Cell returns the emitters that the recipe mixes: those of one cell of its mode.
func (r *Recipe) Cell() *emitters.Cell { return r.cell }

// Policy returns the policy.
func (r *Recipe) Policy() Policy { return r.policy }

// Solve returns the mix for a chromaticity asked at a level, 0..1, of the most light
// there, by the policy; toward is the balance white. What is out of reach is as in
// emitters.Cell.Solve.
//
// Brightest and Truest give the very same light. Under ForCamera, Reached is what the eye
// sees instead and DeltaUV what that costs, whether or not Clipped; Clipped is set when
// the colour is out of the lamp's reach for the eye, or for the camera. Lamps whose
// Full times level is the same look alike to the camera, in colour and in brightness. No
// allocation.
func (r *Recipe) Solve(asked colour.XY, level colour.Level, toward colour.XY) emitters.Solution {
	switch r.policy {
	case Truest:
		return r.truest.solve(asked, level, toward)
	case ForCamera:
		return r.camera.solve(asked, level, toward)
	}
	return r.cell.Solve(asked, level, toward)
}

// Full returns the light that level 1 stands for at a chromaticity, in lumens: the most
// that the lamp has there. Under ForCamera it is that of the reference light which the
// camera sees as bright. No allocation.
func (r *Recipe) Full(asked, toward colour.XY) float64 {
	if r.policy == ForCamera {
		return r.camera.full(asked, toward)
	}
	return r.cell.Solve(asked, 1, toward).Most
}

// Stops returns how far the worst of the camera's channels is from the reference in a
// solution of r, in stops, where all three together are as bright; toward is what the
// solution was asked with. It is 0 for a light that the camera sees as it should, for
// darkness, and for the policies that know no camera; infinite where a channel sees
// nothing and should. No allocation.
func (r *Recipe) Stops(s emitters.Solution, toward colour.XY) float64 {
	if r.policy != ForCamera || s.Lumens == 0 {
		return 0
	}
	return r.camera.stops(s, toward)
}
