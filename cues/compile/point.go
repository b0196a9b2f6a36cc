package compile

import (
	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/track"
)

// How bright a lamp is that is pointed at, as shares of the most that it gives
// at that white: people stand beside it and look at it, so it is never full.
// The cells after the first give two stops less, which shows which end is the
// first. What is dimmed for it goes down to a tenth.
const (
	pointFirst colour.Level = 0.40
	pointRest  colour.Level = pointFirst / 4
	dimmedTo                = 0.10
)

// Pointed gives a still in which lamp l stands out, over base, which stays as
// it is: the first cell of l in the white of the work light, its other cells a
// quarter of that, its parameters safe. With dim, all other lamps go down; what
// keeps floor light lit is on top as ever. It is nil where l gives no light or
// is not here. The caller owns it.
func (p *Place) Pointed(l *cues.RigLamp, base track.Still, dim bool) track.Still {
	first, n := p.CellsOf(l)
	aim, problem := p.whiteOr(p.Show.Safety.Work.Colour)
	if n == 0 || problem != nil {
		return nil
	}
	still := append(track.Still(nil), base...)
	if dim {
		for i, s := range p.Layout.Slots {
			if !s.Param {
				still[i] *= dimmedTo
			}
		}
	}
	for _, q := range p.lamps[p.byLamp[l]].params {
		still[q.slot] = p.dark[q.slot]
	}
	for i := range n {
		level := pointRest
		if i == 0 {
			level = pointFirst
		}
		c := &p.Cells[first+i]
		c.put(still, c.mix.Solve(aim, level, p.Balance).Drives)
	}
	return still
}
