package meter

import "linkboy/colour/solid"

// What stands for the operator, in metres.
const (
	operatorHeight = 1.8
	operatorRadius = 0.25
	// behindCamera is how far the operator stands behind the lens.
	behindCamera = 0.35
)

// operator is who stands at the camera.
func (m *Meter) operator() (*solid.Scene, bool) {
	at, aim := vec(m.setup.Camera), vec(m.setup.LookAt)
	away := at.Sub(aim)
	away.Z = 0
	foot := at.Add(away.Unit().Scale(behindCamera))
	foot.Z = at.Z - 1.5 // the lens is held at 1.5 m
	body, err := solid.NewTube(foot, solid.Vec{Z: operatorHeight}, operatorRadius)
	if err != nil {
		return nil, false
	}
	top, err := solid.NewDisc(foot.Add(solid.Vec{Z: operatorHeight}), solid.Vec{Z: 1}, operatorRadius)
	if err != nil {
		return nil, false
	}
	return solid.NewScene([]solid.Surface{body, top}, nil), true
}

// shadow is by how many stops the operator takes light from a face that looks at the
// camera. Only light that comes straight is counted as taken.
func (m *Meter) shadow(face solid.Vec, at rows) float64 {
	scene, ok := m.operator()
	all := m.lux(at, nil)
	if !ok || !(all > 0) {
		return 0
	}
	taken := m.lit.Hidden(face, m.toward(face), scene)
	lost := 0.0
	for k, v := range taken {
		lost += m.cells[k].Y * float64(v)
	}
	return max(0, -stops(all-min(lost, all), all))
}
