package session

import "linkboy/cues/against"

// LookAgainst tells how a look of the location that is lit differs from another one, as
// the set-up that shoots it has both. The error is a *Refusal.
func (s *Session) LookAgainst(look, other string) (*against.Report, error) {
	site := s.site.Load()
	a, err := site.look(look)
	if err != nil {
		return nil, err
	}
	b, err := site.look(other)
	if err != nil {
		return nil, err
	}
	report, problems := against.Of(site.place, a.look, b.look)
	if report == nil { // both have been compiled before
		return nil, refusalOf(problems.Errors()[0], "look "+look)
	}
	return report, nil
}
