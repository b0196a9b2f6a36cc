package session

import (
	"fmt"
	"time"

	"linkboy/cues"
	"linkboy/cues/play"
)

// Codes of warnings about what runs.
const (
	codeFlashing       = "flashing"
	codeFloorOff       = "floor-light-off"
	codeOutputFails    = "output-failing"
	codeFramesSkipped  = "frames-skipped"
	codeLocationGone   = "location-gone"
	codeLookGone       = "look-gone"
	codeSetupGone      = "setup-gone"
	codeLookOutdated   = "look-outdated"
	codeTried          = "look-tried"
	codeShowWaits      = "show-waits"
	codeShowLeftOut    = "show-not-taken-in"
	codeLightFailed    = "light-failed"
	codeStateBroken    = "state-broken"
	codeStateUnwritten = "state-not-written"
	codeTakeUnwritten  = "take-not-written"
	codeTakeLost       = "take-incomplete"
	codeJournalBroken  = "journal-broken"
	flashWarningTime   = 10 * time.Second // for which a flash warning stays
	// skippedShare of a minute's frames left out is what a person should know of:
	// together six tenths of a second without a frame.
	skippedShare = 0.01
)

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
	if s.now.dark && !s.now.overlaid() && !s.now.killed {
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
	if m := snap.Late.Minute; float64(m.Skipped) > skippedShare*float64(m.Due) {
		out = append(out, Warning{
			Code: codeFramesSkipped, Where: "output",
			Message: fmt.Sprintf("%d of the %d frames of the last minute were left out, so fades stutter: this machine or its network was too busy", m.Skipped, m.Due),
			Mend:    "end other programs on this machine, or let linkboy have real-time priority",
		})
	}
	if err := s.store.failed.Load(); err != nil {
		out = append(out, Warning{
			Code: codeStateUnwritten, Where: s.store.path,
			Message: "what is on will not be remembered over a restart: " + (*err).Error(),
			Mend:    "let the show's folder be written to, or note the look before you stop",
		})
	}
	out = append(out, s.takeWarnings()...)
	if s.hot {
		out = append(out, s.tryWarnings()...)
	}
	out = append(out, s.loaded...)
	out = append(out, s.changeWarnings()...)
	out = append(out, s.lightWarnings()...)
	site := s.site.Load()
	out = append(out, warningsOf(site.told())...)
	return append(out, site.lookWarnings(s.now.look)...)
}

// changeWarnings tells what a change of the show left undone. s.mu must be held.
func (s *Session) changeWarnings() []Warning {
	var out []Warning
	if s.waiting > 0 {
		out = append(out, Warning{
			Code: codeShowWaits, Where: "the show", Message: "the set is hot: " + waiting(s.waiting),
			Mend: "nothing is lost; they come with the cut",
		})
	}
	if s.leftOut != nil {
		out = append(out, Warning{
			Code: codeShowLeftOut, Where: "the show", Message: "what was changed during the take is not taken in: " + s.leftOut.Error(),
			Mend: "mend it and save it again",
		})
	}
	site := s.site.Load()
	if _, there := site.looks[shown{s.now.look, false}]; !there && s.now.look != "" && s.now.shot == nil {
		out = append(out, Warning{
			Code: codeLookGone, Where: site.loc.Name, Mend: "run another look when a change of light does no harm",
			Message: fmt.Sprintf("the look %q that is on is no part of the show any more; it stays until another is run", s.now.look),
		})
	}
	return out
}

func waiting(n int) string {
	if n == 1 {
		return "a change of the show waits for the cut"
	}
	return fmt.Sprintf("%d changes of the show wait for the cut", n)
}

// lookWarnings tells what a look asks and does not get here.
func (s *site) lookWarnings(name string) []Warning {
	get, ok := s.looks[shown{name, false}]
	if !ok {
		return nil
	}
	return warningsOf(get().problems)
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
