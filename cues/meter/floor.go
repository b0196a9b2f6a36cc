package meter

import (
	"math"

	"linkboy/colour/solid"
	"linkboy/cues/stage"
)

const (
	// stride is how far apart a walk is read, in metres.
	stride = 0.25
	// overFloor is how high over it the floor is read, in metres.
	overFloor = 0.02
)

// Floor is the darkest point where people walk.
type Floor struct {
	Walk   string // the mark
	At     solid.Vec
	MinLux float64
}

// Floor reads the floor along every walk and under every mark. ok is false at a
// location without marks.
func (m *Meter) Floor() (darkest Floor, ok bool) {
	darkest.MinLux = math.Inf(1)
	for _, mark := range m.set.Plan.Location.Marks {
		for i := range mark.Points {
			from := stage.Vec(mark.Points[i])
			to := stage.Vec(mark.Points[min(i+1, len(mark.Points)-1)])
			steps := max(1, int(math.Ceil(to.Sub(from).Length()/stride)))
			for k := range steps {
				at := from.Lerp(to, float64(k)/float64(steps))
				lux := m.lux(m.probe(at.Add(solid.Vec{Z: overFloor}), solid.Vec{Z: 1}), nil)
				if lux < darkest.MinLux {
					darkest, ok = Floor{mark.Name, at, lux}, true
				}
			}
		}
	}
	return darkest, ok
}
