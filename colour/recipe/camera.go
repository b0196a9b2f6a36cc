package recipe

import (
	"errors"
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/emitters"
	"linkboy/colour/spectra"
)

// forCamera mixes one cell for a camera.
//
// A camera's channels add up as X, Y and Z do, so the geometry of mixes is the same: the
// view is a cell whose emitters have what the camera sees of them in place of their
// tristimulus values. In it the reach of the lamp for the camera, the brightest mix that
// the camera sees in the reference's colour, and the choice among those that it cannot
// tell apart are the solver's own questions. Of these the recipe takes the one that is
// nearest to the reference for the eye, by X, Y and Z.
//
// The lumens are not held at those of the reference: a lamp with three emitters has no
// mix that is right in three channels and in lumens, and to be wrong in the channels'
// ratio would be a colour cast.
type forCamera struct {
	cell     *emitters.Cell
	view     *emitters.Cell // as the camera sees it, in the coordinates of seenAs
	nearest  *emitters.Truest
	emitters [emitters.Max]colour.XYZ // the emitters at full, for the eye
	ref      *Reference
}

// seenAs gives channels as the tristimulus values of the view. The sum in place of G is
// there for emitters that the green channel does not see.
func seenAs(c camera.RGB) colour.XYZ { return colour.XYZ{X: c.R, Y: c.R + c.G + c.B, Z: c.B} }

// neutral is the balance white, of equal channels, in the view.
var neutral = seenAs(camera.RGB{R: 1, G: 1, B: 1}).XY()

// newForCamera prepares the recipe for a cell whose emitters at full have these spectra.
func newForCamera(c *emitters.Cell, lights []spectra.Spectrum, ref *Reference) (*forCamera, error) {
	f := &forCamera{cell: c, ref: ref}
	seen := c.Emitters()
	eye := make([][]float64, len(seen))
	for i := range seen {
		full := seen[i].Full
		f.emitters[i] = full
		eye[i] = []float64{full.X, full.Y, full.Z}
		seen[i].Full = seenAs(ref.view.See(lights[i]))
	}
	var err error
	if f.view, err = emitters.NewCell(seen); err != nil {
		if errors.Is(err, emitters.ErrLight) {
			return nil, fmt.Errorf("%w with sensor %q: %w", ErrUnseen, ref.view.Name(), err)
		}
		return nil, err
	}
	gram := emitters.GramOf(eye)
	if f.nearest, err = emitters.NewTruest(f.view, &gram); err != nil {
		return nil, err
	}
	return f, nil
}

// goal is what a colour asked comes to for the camera.
type goal struct {
	clipped bool
	aim     colour.XY  // for the eye
	seen    colour.XYZ // the camera's view of one lumen of the reference light
}

// goal returns what the camera is to see; ok is false when asked is no colour.
func (f *forCamera) goal(asked, toward colour.XY) (g goal, ok bool) {
	g.aim, g.clipped = f.cell.Aim(asked, toward)
	if g.aim == (colour.XY{}) {
		return g, false
	}
	g.seen = seenAs(f.ref.At(g.aim))
	return g, true
}

// solve is Recipe.Solve.
func (f *forCamera) solve(asked colour.XY, level colour.Level, toward colour.XY) emitters.Solution {
	g, ok := f.goal(asked, toward)
	if !ok {
		return f.cell.Solve(asked, 0, toward)
	}
	wanted := g.seen.XY()
	most := f.view.Solve(wanted, 1, neutral)
	// The eye's own view of the reference, per unit of what the camera sees.
	eye := g.aim.XYZ(1 / g.seen.Y)
	var pull emitters.Pull
	for i := range f.view.Len() {
		e := &f.emitters[i]
		pull[i] = e.X*eye.X + e.Y*eye.Y + e.Z*eye.Z
	}
	s := f.nearest.Solve(wanted, level, neutral, &pull)
	light := f.cell.Light(s.Drives)
	s.Clipped = s.Clipped || g.clipped
	s.Asked, s.Lumens, s.Most = asked, light.Y, f.cell.Light(most.Drives).Y
	s.Reached = light.XY()
	if light.Y == 0 {
		s.Reached = f.cell.Light(most.Drives).XY()
	}
	s.DeltaUV = s.Reached.UV().Distance(asked.UV())
	return s
}

// full is Recipe.Full.
func (f *forCamera) full(asked, toward colour.XY) float64 {
	g, ok := f.goal(asked, toward)
	if !ok {
		return 0
	}
	return f.view.Solve(g.seen.XY(), 1, neutral).Most / g.seen.Y
}

// stops is Recipe.Stops.
func (f *forCamera) stops(s emitters.Solution, toward colour.XY) (worst float64) {
	g, ok := f.goal(s.Asked, toward)
	if !ok {
		return 0
	}
	seen := f.view.Light(s.Drives)
	k := g.seen.Y / seen.Y
	for _, c := range [3][2]float64{
		{k * seen.X, g.seen.X},
		{k * (seen.Y - seen.X - seen.Z), g.seen.Y - g.seen.X - g.seen.Z},
		{k * seen.Z, g.seen.Z},
	} {
		if c[0] != c[1] {
			worst = max(worst, math.Abs(math.Log2(max(c[0], 0)/max(c[1], 0))))
		}
	}
	return worst
}
