package transport

import "linkboy/colour/solid"

// direct computes the light that comes straight from the sources.
type direct struct {
	scene   *solid.Scene
	sources []Source
}

// at adds the light of every source at a spot, times a share, to row. Rays are
// cast where there is light to hide; x and y, 0..1, say which points of the faces they
// go to.
func (d *direct) at(p spot, share float64, row []float32, x, y float64) {
	for k := range d.sources {
		s := &d.sources[k]
		away := p.at.Sub(s.Centre)
		if s.Beam != nil && behind(s, p, away) {
			continue
		}
		if e := d.from(s, p, away.Length(), x, y); e > 0 {
			row[k] += float32(share * e)
		}
	}
}

// behind reports whether no point of the face sees the spot, nor the spot it.
func behind(s *Source, p spot, away solid.Vec) bool {
	half := (s.Along.Length() + s.Across.Length()) / 2
	return away.Dot(s.Facing) < -half || away.Dot(p.normal) > half
}

// from sums over points of the face, the same one of each part of it (systematic
// sampling: light changes smoothly over a face, so this beats points by chance).
func (d *direct) from(s *Source, p spot, distance, x, y float64) float64 {
	mask := s.Masked(p.at)
	if mask == 0 {
		return 0
	}
	na, nb := points(s.Along.Length(), distance), points(s.Across.Length(), distance)
	sum := 0.0
	for i := range na {
		for j := range nb {
			at := s.at((float64(i)+x)/float64(na), (float64(j)+y)/float64(nb))
			if e := s.lux(at, p.at, p.normal); e > 0 && !d.scene.Blocked(p.at, at) {
				sum += e
			}
		}
	}
	return mask * sum / float64(na*nb)
}
