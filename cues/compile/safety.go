package compile

import (
	"fmt"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/track"
)

// light makes the floor cells and the work light of p.
func (p *Place) light() cues.Problems {
	problems := p.floor()
	return append(problems, p.makeWork()...)
}

// floor makes the cells that floor light keeps lit.
func (p *Place) floor() cues.Problems {
	f := p.Show.Safety.Floor
	if f.On == "" || f.Level <= 0 {
		return nil
	}
	cells := p.Group(f.On)
	if len(cells) == 0 {
		return cues.Problems{cues.NewProblem(f.At, cues.CodeNoFloorLight,
			fmt.Sprintf("%s has no floor light", p.Location.Name), fmt.Sprintf("it has no group %q", f.On),
			fmt.Sprintf("add a group %q with the lamps that light the way, or keep people still in the dark", f.On))}
	}
	aim, problem := p.whiteOr(f.Colour)
	if problem != nil {
		return cues.Problems{problem}
	}
	seen := map[int]bool{} // a cell named twice is kept lit once
	for _, i := range cells {
		if !seen[i] {
			seen[i] = true
			p.Layout.Floor = append(p.Layout.Floor, p.Cells[i].floor(aim, f.Level, p.Balance))
		}
	}
	return nil
}

func (c *Cell) floor(aim colour.XY, level colour.Level, white colour.XY) track.FloorCell {
	s := c.mix.Solve(aim, level, white)
	f := track.FloorCell{First: int32(c.First), N: int32(c.N), Least: float32(s.Lumens)}
	for i, e := range c.mix.Emitters() {
		f.Weight[i] = float32(e.Full.Y)
		f.Drive[i] = float32(s.Drives[i])
	}
	return f
}

// makeWork makes the still of the work light: full white where the show says
// nothing else, on every lamp where its group is not here.
func (p *Place) makeWork() cues.Problems {
	w := p.Show.Safety.Work
	aim, problem := p.whiteOr(w.Colour)
	if problem != nil {
		return cues.Problems{problem}
	}
	level := w.Level
	if level <= 0 {
		level = 1
	}
	cells := p.Group(w.On)
	var problems cues.Problems
	if len(cells) == 0 {
		if w.On != "" {
			problem := cues.NewProblem(w.At, cues.CodeGroupNotHere, fmt.Sprintf("%s has no group %q for its work light", p.Location.Name, w.On),
				"every lamp gives work light instead", fmt.Sprintf("add a group %q", w.On))
			problems = append(problems, problem)
		}
		for i := range p.Cells {
			cells = append(cells, i)
		}
	}
	p.work = p.Dark()
	solved := map[*emitters.Cell]emitters.Drives{}
	for _, i := range cells {
		c := &p.Cells[i]
		d, ok := solved[c.mix]
		if !ok {
			d = c.mix.Solve(aim, level, p.Balance).Drives
			solved[c.mix] = d
		}
		c.put(p.work, d)
	}
	return problems
}

// whiteOr gives the chromaticity of a safety colour, the balance white for none.
func (p *Place) whiteOr(c cues.Colour) (colour.XY, *cues.Problem) {
	if c.IsZero() {
		return p.Balance, nil
	}
	return p.chromaticity(c, nil)
}

// put writes the drives of c into a still.
func (c *Cell) put(s track.Still, d emitters.Drives) {
	for i := range c.N {
		s[c.First+i] = float32(d[i])
	}
}

// get reads the drives of c from a still.
func (c *Cell) get(s track.Still) emitters.Drives {
	var d emitters.Drives
	for i := range c.N {
		d[i] = float64(s[c.First+i])
	}
	return d
}
