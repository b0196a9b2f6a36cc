package stage

import (
	"math"

	"linkboy/colour/photometry"
	"linkboy/colour/picture"
	"linkboy/cues"
)

const (
	// zoomStep is the most that a spread for which light is computed is wider than the
	// one before, as far as zoomMost allows.
	zoomStep = 1.6
	// zoomMost is the most spreads that light is computed for: each is a map more.
	zoomMost = 4
)

// zoom is a cell whose beam looks spread. Its light is computed at some beam angles.
type zoom struct {
	cell    int
	sources []int     // of each angle; the first is the cell's own
	degrees []float64 // rising
	peak    func(degrees float64) float64
}

// zoom gives the cells of a lamp a source at each of some beam angles, where looks
// spread it to more than one. What stands before it may leave nothing to spread.
func (s *Stage) zoom(r *cues.RigLamp) error {
	angles := s.Plan.Zooms(r)
	first, n := s.Plan.CellsOf(r)
	if len(angles) < 2 || n == 0 || r.Diffusion != nil && r.Diffusion.WidensDeg >= matt {
		return nil
	}
	param := r.Lamp.Mode.Zoom()
	if r.Gobo == nil || len(angles) > zoomMost {
		angles = steps(param.Min, param.Max)
	} // two pictures of two sizes make no third: a gobo has the angles of the looks
	base, err := bare(r.Lamp.Type.Photometry)
	if err != nil {
		return err
	}
	for cell := first; cell < first+n; cell++ {
		z := zoom{cell: cell, degrees: angles, peak: func(degrees float64) float64 {
			b, err := base.Zoom(photometry.Degrees(degrees))
			if err != nil {
				return math.NaN()
			}
			o, _ := behind(b, r.Diffusion)
			return o.Peak
		}}
		for k, degrees := range angles {
			b, err := base.Zoom(photometry.Degrees(degrees))
			if err != nil {
				return err
			}
			o, err := behind(b, r.Diffusion)
			if err != nil {
				return err
			}
			source := s.Place.Sources[cell]
			source.Beam, source.Mask = o, maskOf(r, source.Facing, base, b)
			at := cell
			if k == 0 {
				s.Place.Sources[cell] = source
			} else {
				at = len(s.Place.Sources)
				s.Place.Sources = append(s.Place.Sources, source)
			}
			z.sources = append(z.sources, at)
		}
		s.zooms = append(s.zooms, z)
		s.Lamps[cell] = picture.Lamp{Face: s.Lamps[cell].Face, Sources: z.sources}
	}
	return nil
}

// steps are the beam angles that light is computed for, from the least to the most, each
// as many times the one before.
func steps(least, most float64) []float64 {
	n := min(1+int(math.Ceil(math.Log(most/least)/math.Log(zoomStep)-1e-9)), zoomMost)
	all := make([]float64, n)
	for k := range all {
		all[k] = least * math.Pow(most/least, float64(k)/float64(n-1))
	}
	all[n-1] = most
	return all
}

// blend is how the light at a beam angle is a sum of that of two sources.
type blend struct {
	deg          float64
	narrow, wide int     // sources
	share        float64 // of the light, that wide has
}

// blend keeps the lumens and the candela on the axis: with shares that add up to 1,
// the candela is right where it is that much nearer to one peak than to the other. The
// beam between is only nearly as wide as it should be.
func (z *zoom) blend(deg float64) blend {
	n := len(z.degrees)
	k := 0
	for k+2 < n && z.degrees[k+1] < deg {
		k++
	}
	held := min(max(deg, z.degrees[0]), z.degrees[n-1])
	narrow, wide := z.peak(z.degrees[k]), z.peak(z.degrees[k+1])
	share := 0.0
	if narrow > wide {
		share = min(max((narrow-z.peak(held))/(narrow-wide), 0), 1)
	}
	return blend{deg, z.sources[k], z.sources[k+1], share}
}

// Blend tells which two sources a cell's light comes from at a beam angle in degrees,
// and what share of it the second has. Of a cell whose beam nothing spreads both are
// its one.
func (s *Stage) Blend(cell int, degrees float64) (narrow, wide int, share float64) {
	for i := range s.zooms {
		if s.zooms[i].cell == cell {
			b := s.zooms[i].blend(degrees)
			return b.narrow, b.wide, b.share
		}
	}
	return cell, cell, 0
}

// SourcesOf gives the sources of some cells, each once.
func (s *Stage) SourcesOf(cells []int) []int {
	if len(s.zooms) == 0 || cells == nil {
		return cells
	}
	var all []int
	for _, i := range cells {
		all = append(all, s.Lamps[i].Sources...)
	}
	return all
}

// SourcesOfLamp gives the sources of all cells of a lamp.
func (s *Stage) SourcesOfLamp(r *cues.RigLamp) []int {
	first, n := s.Plan.CellsOf(r)
	var all []int
	for cell := first; cell < first+n; cell++ {
		all = append(all, s.Lamps[cell].Sources...)
	}
	return all
}
