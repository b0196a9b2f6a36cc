package recipe

import (
	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// Reference is what one view, a camera balanced to a white, sees of the reference light of
// every chromaticity. No lamp has a part in it, so unlike lamps that match it match each
// other. Making one takes about a tenth of a second; it is immutable and safe for
// concurrent use.
//
// The reference light of a white is the reference white. That of a colour is the one of
// its chromaticity that tells least beyond a white of 4545 K: of least entropy relative to
// it, so positive and smooth. Between them what the camera sees of both is blended.
type Reference struct {
	view  camera.View
	wheel *wheel
	// The channels of the colours, per X+15Y+3Z of the light, which stays finite where
	// luminance goes towards 0; and what the whites differ from those.
	seen   [rays][rings]camera.RGB
	whites [whites]camera.RGB
}

// NewReference prepares the reference for a view.
func NewReference(v camera.View) *Reference {
	r := &Reference{view: v, wheel: wheelTable()}
	for ray := range rays {
		for ring := range rings {
			r.seen[ray][ring] = r.see(tilted(r.wheel.tilts[ray][ring], r.wheel.at(ray, ring).XY()))
		}
	}
	table := whiteTable()
	for i := range table {
		uv := table[i].light.XYZ().XY().UV()
		r.whites[i] = r.see(table[i].light).Add(r.colour(uv).Scale(-1))
	}
	return r
}

// View returns the view.
func (r *Reference) View() camera.View { return r.view }

// see returns what the view sees of a light per X+15Y+3Z.
func (r *Reference) see(s spectra.Spectrum) camera.RGB {
	c := s.XYZ()
	return r.view.See(s).Scale(1 / (c.X + 15*c.Y + 3*c.Z))
}

// colour returns what the view sees of the reference light of a colour per X+15Y+3Z.
func (r *Reference) colour(p colour.UV) camera.RGB {
	at := r.wheel.find(p)
	a, b := &r.seen[at.ray], &r.seen[at.next]
	in := between(a[at.ring], b[at.ring], at.aside)
	return between(in, between(a[at.ring+1], b[at.ring+1], at.aside), at.out)
}

func between(a, b camera.RGB, t float64) camera.RGB {
	return camera.RGB{R: a.R + t*(b.R-a.R), G: a.G + t*(b.G-a.G), B: a.B + t*(b.B-a.B)}
}

// At returns the levels of the view's channels under one lumen of the reference light of a
// chromaticity that light can have. It is continuous. No allocation.
func (r *Reference) At(p colour.XY) camera.RGB {
	uv := p.UV()
	seen := r.colour(uv)
	if at := place(p); at.share > 0 {
		seen = seen.Add(between(r.whites[at.index], r.whites[at.index+1], at.part).Scale(at.share))
	}
	seen = camera.RGB{R: max(seen.R, 0), G: max(seen.G, 0), B: max(seen.B, 0)}
	return seen.Scale(9 / uv.V) // v' is 9Y/(X+15Y+3Z)
}
