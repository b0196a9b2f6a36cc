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
	scene, ok := m.operator()
	all := m.lux(at, nil)
	if !ok || !(all > 0) {
		return 0
	}
	taken := m.aside(face).Hidden(face, m.toward(face), scene)
	lost := 0.0
	for k, v := range taken {
		lost += m.cells[k].Y * float64(v)
	}
	return max(0, -stops(all-min(lost, all), all))
}
