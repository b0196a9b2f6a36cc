package meter

import "linkboy/colour/solid"

// operator is who stands at the camera.
func (m *Meter) operator() (*solid.Scene, bool) {
	pieces, err := m.set.Set.Operator(m.setup)
	if err != nil {
		return nil, false
	}
	surfaces := make([]solid.Surface, len(pieces))
	for i := range pieces {
		surfaces[i] = pieces[i].Surface
	}
	return solid.NewScene(surfaces, nil), true
}

// shadow is by how many stops the operator takes light from a face that looks at the
// camera. Only light that comes straight is counted as taken.
func (m *Meter) shadow(face solid.Vec, at rows) float64 {
	all := m.lux(at, nil)
	if !(all > 0) {
		return 0
	}
	lost := 0.0
	for k, v := range m.hidden(plane{face, m.toward(face)}) {
		lost += m.cells[k].Y * float64(v)
	}
	return max(0, -stops(all-min(lost, all), all))
}

// hidden is what a lumen of each cell would give a receptor if the operator were not
// there; nil where nobody can stand at the camera.
func (m *Meter) hidden(p plane) []float32 {
	taken, known := m.taken[p]
	if !known {
		if scene, ok := m.operator(); ok {
			taken = m.aside(p.at).Hidden(p.at, p.normal, scene)
		}
		m.taken[p] = taken
	}
	return taken
}
