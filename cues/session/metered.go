package session

import (
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/stage"
)

// Moment is what a meter reads: a location as a set-up shoots it, and the bytes of its
// light. Nothing of it is to be changed.
type Moment struct {
	Place  *compile.Place
	Stage  *stage.Stage
	Setup  *cues.Setup
	Look   string // that is on, or asked for; "" for none, and under work light, a lamp that is pointed at and a kill
	Slots  [][]byte
	Levels []compile.MeasuredLevel // of the look
	Light  Lighting
	// Revision is that of the plan, Version changes whenever the bytes on the wire may;
	// 0 for a look that was asked for.
	Revision uint32
	Version  uint64
}

// Moment gives what is on the set now by the bytes on the wire, or a look once it has
// settled, floor light included. setup is whose camera sees it, and who trims a look;
// "" is the one that is chosen. The error is a *Refusal.
func (s *Session) Moment(look, setup string) (Moment, error) {
	s.mu.Lock()
	site, light, revision := s.site.Load(), s.lighting(), s.revision
	on, bare := s.now.look, s.now.bare
	if s.now.overlaid() || s.now.killed {
		on = ""
	}
	s.mu.Unlock()
	m := Moment{Place: site.place, Look: look, Light: light, Revision: revision}
	var err error
	if m.Stage, m.Setup, err = site.vantage(setup); err != nil {
		return Moment{}, err
	}
	if m.Setup != site.setup {
		m.Place = site.place.WithSetup(m.Setup)
	}
	if look != "" {
		return m, m.wear(site, look)
	}
	m.Version = s.engine.Version() // before the bytes: what comes in between counts as new
	var snap play.Snapshot
	s.engine.Snapshot(&snap)
	m.Slots, m.Look = site.bytesOf(&snap), on
	if k, err := site.lookOf(on, bare); err == nil && m.Setup == site.setup {
		m.Levels = k.levels
	}
	return m, nil
}

// Vantage gives the location as light sees it, and a set-up of it; "" is the one that is
// chosen. Nothing of it is to be changed. The error is a *Refusal.
func (s *Session) Vantage(setup string) (*stage.Stage, *cues.Setup, error) {
	site, _ := s.here()
	return site.vantage(setup)
}

func (s *site) vantage(setup string) (*stage.Stage, *cues.Setup, error) {
	u := s.setup
	if setup != "" {
		var err error
		if u, err = s.setupNamed(setup); err != nil {
			return nil, nil, err
		}
	}
	if u == nil {
		return nil, nil, refuse(Conflict, codeNoSetup, s.loc.Name+" has no set-up whose camera could see it",
			"add one to its file: setups: {wide: {camera: [6, -4, 1.5], look-at: a, lens: 24 mm}}")
	}
	l := s.lens()
	if l.err != nil {
		return nil, nil, refuse(Conflict, codeNoPicture, "the light of "+s.loc.Name+" cannot be computed: "+l.err.Error(), "run linkboy check")
	}
	return l.stage, u, nil
}

// wear puts a settled look on.
func (m *Moment) wear(on *site, look string) error {
	k, err := on.look(look)
	if err != nil {
		return err
	}
	still, levels := k.still, k.levels
	if m.Place != on.place {
		var report compile.Report
		if still, report, _ = m.Place.Still(k.look); still == nil {
			return refuse(Conflict, codeNoPicture, "the look "+look+" cannot be shown from "+m.Setup.Name, "run linkboy check")
		}
		levels = report.Levels
	}
	m.Slots, m.Levels = m.Place.Frame(still, true), levels
	return nil
}
