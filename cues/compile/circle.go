package compile

import "linkboy/colour"

// levelSlack lets what stands at the edge of a cell's reach count as inside, in
// spite of the rounding on the way there and back.
const levelSlack = 1e-6

// chromaSteps halves the chroma between what is in reach and what is not: to a
// fifteen-thousandth of it, a tenth of what tracks are held to.
const chromaSteps = 14

// inReach gives lab, which is at t of the way, or where the cell cannot show it
// the light of the same lightness and hue with the most chroma that it can show.
// A way round the hue circle runs far outside of most gamuts, and past the
// colours of any light, where the straight line to the white that the solver
// takes has lost the hue; both it and the way through white may ask for more
// light than there is.
//
// Where the cell is not even so light in white, what takes the place of the
// white lies between it and the cross-fade of the two ends, which the cell can
// show as it can show them.
func (w *walker) inReach(lab colour.OKLab, t float64) colour.OKLab {
	if w.reaches(lab) {
		return lab
	}
	centre := w.way.grey.at(lab.L)
	if !w.reaches(centre) {
		crossed := w.way.crossed(t)
		k := w.toward(crossed, centre)
		centre = mix(crossed, centre, k*k) // inside, as a line from the edge may run along it
	}
	return mix(centre, lab, w.toward(centre, lab))
}

// toward gives the share of the straight line from inside, which is in reach,
// to outside, which is not, where reach ends.
func (w *walker) toward(inside, outside colour.OKLab) float64 {
	low, high := 0.0, 1.0
	for range chromaSteps {
		if k := (low + high) / 2; w.reaches(mix(inside, outside, k)) {
			low = k
		} else {
			high = k
		}
	}
	return low
}

// reaches tells whether the cell can show a light, its level included.
func (w *walker) reaches(lab colour.OKLab) bool {
	light := lab.XYZ()
	if light.X < 0 || light.Y <= 0 || light.Z < 0 {
		return false
	}
	s := w.mix.Solve(light.XY(), 1, w.white)
	return !s.Clipped && light.Y <= s.Most*w.scale*(1+levelSlack)
}
