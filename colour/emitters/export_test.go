package emitters

// Conditions are what the proof of a program's optimum needs beside its inputs.
type Conditions struct {
	Mix, Push Drives
	Cost      Gram // with the ridge
}

func conditions(p *program, start Drives, pull Pull) Conditions {
	s, c := row(start), row(pull)
	mix, push := p.solve(&s, &c)
	return Conditions{Drives(mix), Drives(push), p.cost}
}

// Measures returns what a Truest recipe of the cell keeps: emitters that count as one
// colour have one.
func (c *Cell) Measures() (rows [][]float64) {
	for _, r := range c.measures() {
		rows = append(rows, r[:c.Len()])
	}
	return rows
}

// Prove solves the program of a recipe from a mix of the light wanted, and returns what
// proves its optimum.
func (t *Truest) Prove(start Drives, pull Pull) Conditions { return conditions(t.program, start, pull) }
