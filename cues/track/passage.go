package track

import "time"

// Passage is a fade with what moves in the looks at its ends, as the engine plays
// it that goes from one settled look to the other: for whoever draws it ahead of
// time.
type Passage struct {
	Fade    *Fade
	Out, In *Motion // nil for a look in which nothing moves
}

// At writes the state so long after the fade began, or before where that is less
// than 0; the movement that goes out began before by lead.
func (p *Passage) At(elapsed, lead time.Duration, dst Still) {
	progress := 1.0
	if elapsed < p.Fade.Total {
		progress = float64(elapsed) / float64(p.Fade.Total)
	}
	if elapsed < 0 {
		progress = 0
	}
	p.Fade.At(progress, dst)
	left, done := append(Still(nil), dst...), make(Still, len(dst))
	p.Fade.Done(progress, done)
	if p.In != nil && elapsed >= 0 {
		defer p.In.Apply(elapsed, append(Still(nil), done...), left, dst) // what goes out first, as in the engine
	}
	if p.Out != nil {
		for i := range done {
			done[i] = 1 - done[i]
		}
		p.Out.Apply(elapsed+lead, done, left, dst)
	}
}
