package showfile

import (
	"errors"

	"linkboy/cues"
)

// checkWalks checks that every walk takes a real time.
func (l *loader) checkWalks(loc *cues.Location) {
	for _, in := range loc.StandIns {
		if in.Walk == nil {
			continue
		}
		_, err := in.Walk.Takes.Real(l.show.Clock(loc))
		var p *cues.Problem
		if errors.As(err, &p) && (l.showRead || p.Code != cues.CodeNoTempo) {
			l.tell(p, in.Walk.Takes.String())
		}
	}
}
