// Package metering reads the light of what a session has on, for whoever watches: the
// meters of cues/meter, kept ready for the place and the set-ups that are asked for.
//
// It works in the daemon's process, one reading at a time and away from the loop. The
// first reading of a place looks into it along some hundred thousand rays, which takes
// about a second of one processor; those that follow sum what is known.
package metering

import (
	"fmt"
	"sync"

	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/session"
)

// Metering reads one session. It is safe for concurrent use.
type Metering struct {
	set *session.Session

	mu     sync.Mutex
	hash   string // of the light that the meters look into
	lit    *transport.Lit
	meters map[string]*bench // by set-up
}

// bench is a meter with what does not change from reading to reading.
type bench struct {
	*meter.Meter
	revision uint32                   // of the plan that fades are of
	fades    func() []compile.CueFade // worked out when it is first called
	ready    chan struct{}            // closed once fades has been
	read     map[string]reading       // the newest of each look; "" for what is on
}

// reading is a report and what it was read of.
type reading struct {
	report   *meter.Report
	look     string
	revision uint32
	version  uint64
	whole    bool // with how smooth fades are
}

// New reads a session.
func New(set *session.Session) *Metering {
	return &Metering{set: set, meters: map[string]*bench{}}
}

// Read reads what is on, or a look once it has settled, by a set-up; both as
// session.Moment says. The report is not to be changed. How smooth the fades of the
// sheet are takes a while to find out the first time: with patient it is waited for, else
// it is left out until it is known. An error is a *session.Refusal or that of the
// camera's balance.
func (m *Metering) Read(look, setup string, patient bool) (*meter.Report, error) {
	now, err := m.set.Moment(look, setup)
	if err != nil {
		return nil, err
	}
	b, fades, err := m.benchFor(&now)
	if err != nil {
		return nil, err
	}
	if patient {
		fades()
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	steps, whole := b.steps()
	last := b.read[look]
	if last.report != nil && last.look == now.Look && last.revision == now.Revision && last.version == now.Version && (last.whole || !whole) {
		return last.report, nil
	}
	b.Set(now.Slots)
	last = reading{b.Report(meter.Shown{Look: now.Look, Levels: now.Levels, Fades: steps}), now.Look, now.Revision, now.Version, whole}
	b.read[look] = last
	return last.report, nil
}

// benchFor gives the meter for a moment.
func (m *Metering) benchFor(now *session.Moment) (b *bench, fades func() []compile.CueFade, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.look(now); err != nil {
		return nil, nil, err
	}
	b = m.meters[now.Setup.Name]
	if b == nil {
		reader, err := meter.New(now.Stage, m.lit, now.Setup)
		if err != nil {
			return nil, nil, fmt.Errorf("meter at %s from %s: %w", now.Place.Location.Name, now.Setup.Name, err)
		}
		b = &bench{Meter: reader}
		m.meters[now.Setup.Name] = b
	}
	if b.fades == nil || b.revision != now.Revision {
		b.prepare(now)
	}
	return b, b.fades, nil
}

// prepare begins to find out how smooth the fades of a place are.
func (b *bench) prepare(now *session.Moment) {
	ready, place := make(chan struct{}), now.Place
	b.revision, b.ready, b.read = now.Revision, ready, map[string]reading{}
	b.fades = sync.OnceValue(func() []compile.CueFade {
		defer close(ready)
		return place.CueFades()
	})
	go b.fades()
}

// steps gives how smooth the fades are; false while that is not known.
func (b *bench) steps() ([]compile.CueFade, bool) {
	select {
	case <-b.ready:
		return b.fades(), true
	default:
		return nil, false
	}
}

// look has the light of a moment ready to be looked into.
func (m *Metering) look(now *session.Moment) error {
	l := now.Light
	if l.Stage != string(transport.Bounced) {
		return notYet(now)
	}
	if m.lit != nil && m.hash == l.Hash {
		return nil
	}
	lit, err := litOf(now)
	if err != nil {
		return err
	}
	m.hash, m.lit = l.Hash, lit
	clear(m.meters)
	return nil
}

// litOf takes the light apart, unless that has been done already to solve levels.
func litOf(now *session.Moment) (*transport.Lit, error) {
	if l, ok := now.Light.Metered.(*meter.Levels); ok {
		return l.Lit(), nil
	}
	light, err := transport.Parse(now.Light.Encoded)
	if err != nil {
		return nil, err
	}
	if !(transport.Task{Place: &now.Stage.Place}).Fits(light) {
		return nil, fmt.Errorf("%w of %s", transport.ErrEncoded, now.Place.Location.Name)
	}
	return transport.NewLit(&now.Stage.Place, light), nil
}

// notYet refuses while there is no finished light.
func notYet(now *session.Moment) error {
	name := now.Place.Location.Name
	r := &session.Refusal{
		Code: "no-light", Message: "the light of " + name + " is being computed", Where: "/api/meter",
		Mend: "ask again when light.stage in /api/state is bounced", Kind: session.Unknown,
	}
	if now.Light.Err != nil {
		r.Message, r.Mend = "the light of "+name+" could not be computed: "+now.Light.Err.Error(), "run linkboy check"
	}
	return r
}
