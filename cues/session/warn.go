package session

import (
	"fmt"
	"time"

	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/play"
)

// Codes of warnings about what runs.
const (
	codeFlashing       = "flashing"
	codeFloorOff       = "floor-light-off"
	codeOutOfReach     = cues.CodeColourOutOfReach
	codeOutputFails    = "output-failing"
	codeLocationGone   = "location-gone"
	codeLookGone       = "look-gone"
	codeStateBroken    = "state-broken"
	codeStateUnwritten = "state-not-written"
	flashWarningTime   = 10 * time.Second // for which a flash warning stays
)

// matched is the u'v' distance from which lamps are seen not to match: a
// three-step circle of CIE TN 001:2014 (0.0011 a step), the tolerance in which
// white lamps are commonly sorted (common practice, no source).
const matched = 0.0033

// warnings gives what a person should know now, the most urgent first. s.mu
// must be held.
func (s *Session) warnings(snap *play.Snapshot) []Warning {
	out := []Warning{}
	if w := s.flashes.warned; !w.IsZero() && time.Since(w) < flashWarningTime {
		out = append(out, Warning{
			Code: codeFlashing, Where: s.site.Load().loc.Name,
			Message: "the set flashes more than three times a second: that can bring on seizures",
			Mend:    flashMend,
		})
	}
	if s.now.dark && !s.now.work && !s.now.killed {
		out = append(out, Warning{
			Code: codeFloorOff, Where: "look " + s.now.look,
			Message: "this cue runs without floor light",
			Mend:    "announce it, and nobody moves until light is back; local codes on the least light go first",
		})
	}
	if snap.SendError != nil {
		out = append(out, Warning{
			Code: codeOutputFails, Where: "output", Message: "frames do not go out: " + snap.SendError.Error(),
			Mend: "check the network of the lamps",
		})
	}
	if err := s.store.failed.Load(); err != nil {
		out = append(out, Warning{
			Code: codeStateUnwritten, Where: s.store.path,
			Message: "what is on will not be remembered over a restart: " + (*err).Error(),
			Mend:    "let the show's folder be written to, or note the look before you stop",
		})
	}
	out = append(out, s.loaded...)
	site := s.site.Load()
	out = append(out, warningsOf(site.problems)...)
	return append(out, site.lookWarnings(s.now.look)...)
}

// lookWarnings tells what a look asks and does not get here.
func (s *site) lookWarnings(name string) []Warning {
	if _, ok := s.looks[name]; !ok {
		return nil
	}
	k := s.looks[name]()
	return append(warningsOf(k.problems), k.misses(name)...)
}

// misses gives one warning for each type of lamp and colour out of its reach.
func (k *settled) misses(name string) []Warning {
	type kind struct {
		of *lamp.Type
		x  float64
		y  float64
	}
	var order []kind
	lamps := map[kind]int{}
	far := map[kind]float64{}
	for _, m := range k.report.Misses {
		if m.DeltaUV < matched {
			continue
		}
		key := kind{m.Lamp.Lamp.Type, m.Asked.X, m.Asked.Y}
		if lamps[key] == 0 {
			order = append(order, key)
		}
		lamps[key]++
		far[key] = m.DeltaUV
	}
	var out []Warning
	for _, key := range order {
		who := fmt.Sprintf("%d lamps of type %s show", lamps[key], key.of.Name)
		if lamps[key] == 1 {
			who = fmt.Sprintf("1 lamp of type %s shows", key.of.Name)
		}
		out = append(out, Warning{
			Code: codeOutOfReach, Where: "look " + name,
			Message: fmt.Sprintf("%s the nearest to xy %.4f, %.4f that is in reach, %.4f away in u'v'", who, key.x, key.y, far[key]),
			Mend:    "ask for a colour nearer to what it can show, or accept that lamps of other types differ by that much",
		})
	}
	return out
}

// warningsOf gives problems of the show as warnings.
func warningsOf(problems cues.Problems) []Warning {
	var out []Warning
	for _, p := range problems {
		message := p.What
		if p.Why != "" {
			message += ": " + p.Why
		}
		out = append(out, Warning{Code: p.Code, Message: message, Where: p.Pos.String(), Mend: p.Mend})
	}
	return out
}
