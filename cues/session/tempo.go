package session

import (
	"errors"
	"fmt"
	"time"

	"linkboy/cues"
)

// TempoRequest sets the tempo of the cue sheet at this location. Either BPM or
// Taps gives it, or neither when only the bar changes; AsWritten takes the one of the
// show back.
type TempoRequest struct {
	BPM         *float64  `json:"bpm,omitempty"`
	Taps        []float64 `json:"taps,omitempty"` // when beats were tapped, in ms from any zero, ascending
	BeatsPerBar *int      `json:"beats_per_bar,omitempty"`
	AsWritten   bool      `json:"as_written,omitempty"`
}

// Where a tempo comes from.
const (
	tempoOfShow     = "show"
	tempoOfLocation = "location"
	tempoSet        = "set"
	tempoTapped     = "taps"
)

// What a tempo can be. The range is that of show files.
const (
	slowestBPM   = 20
	fastestBPM   = 400
	mostBeatsBar = 32
	// usualBeats is a bar where nobody says.
	usualBeats = 4
	// mostTaps is more than a person can tap before the page sends them.
	mostTaps = 64
)

// ownTempo is a tempo that somebody gave while the show runs.
type ownTempo struct {
	cues.Tempo
	source string
}

// clock turns times of the cue sheet into real ones: that of the show, in the tempo
// that was given here. s.mu must be held.
func (s *Session) clock() cues.Clock {
	site := s.site.Load()
	c := site.clock()
	if own, ok := s.tempos[site.loc.Name]; ok {
		c.Tempo = own.Tempo
	}
	return c
}

// Tempo sets the tempo of this location: what stands by and what waits to follow is
// timed anew, a fade that runs goes on as it began.
func (s *Session) Tempo(r TempoRequest) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	name := s.site.Load().loc.Name
	if r.AsWritten {
		if r.BPM != nil || r.Taps != nil || r.BeatsPerBar != nil {
			return refuse(Invalid, codeNoTarget, "the tempo as written and another one are asked for", "ask for one of them")
		}
		delete(s.tempos, name)
	} else {
		own, err := s.tempoOf(r)
		if err != nil {
			return err
		}
		s.tempos[name] = own
	}
	s.retimed()
	s.changed()
	return nil
}

// tempoOf makes the tempo of a request.
func (s *Session) tempoOf(r TempoRequest) (ownTempo, error) {
	own := ownTempo{s.clock().Tempo, tempoSet}
	switch {
	case r.BPM != nil && r.Taps != nil:
		return own, refuse(Invalid, codeNoTarget, "a tempo is both given and tapped", `give bpm or taps`)
	case r.Taps != nil:
		fit, err := fitTaps(r.Taps)
		if err != nil {
			return own, err
		}
		own.BPM, own.source = fit.BPM, tempoTapped
	case r.BPM != nil:
		own.BPM = *r.BPM
	case r.BeatsPerBar == nil:
		return own, refuse(Invalid, codeNoTarget, "no tempo is given", `say {"bpm": 120}, or {"taps": [0, 500, 1000, 1500]}`)
	}
	if r.BeatsPerBar != nil {
		own.BeatsPerBar = *r.BeatsPerBar
	} else if own.BeatsPerBar == 0 {
		own.BeatsPerBar = usualBeats
	}
	return own, checkTempo(own.Tempo)
}

// checkTempo refuses what is no tempo.
func checkTempo(t cues.Tempo) error {
	if !(t.BPM >= slowestBPM && t.BPM <= fastestBPM) {
		return &Refusal{Code: cues.CodeOutOfRange, Message: fmt.Sprintf("%g beats a minute is no tempo", t.BPM), Where: "bpm",
			Mend: fmt.Sprintf("give one from %d to %d", slowestBPM, fastestBPM)}
	}
	if t.BeatsPerBar < 1 || t.BeatsPerBar > mostBeatsBar {
		return &Refusal{Code: cues.CodeOutOfRange, Message: fmt.Sprintf("a bar has no %d beats", t.BeatsPerBar), Where: "beats_per_bar",
			Mend: fmt.Sprintf("give 1 to %d", mostBeatsBar)}
	}
	return nil
}

// fitTaps fits taps in milliseconds.
func fitTaps(ms []float64) (cues.TapFit, error) {
	ms = ms[max(0, len(ms)-mostTaps):]
	taps := make([]time.Duration, len(ms))
	for i, v := range ms {
		const day = 24 * 60 * 60 * 1000
		if !(v-ms[0] >= 0 && v-ms[0] < day) || i > 0 && v < ms[i-1] {
			return cues.TapFit{}, &Refusal{Code: cues.CodeOutOfRange, Message: "the times of the taps do not ascend", Where: "taps", Mend: "give them in ms, in the order they came"}
		}
		taps[i] = time.Duration((v - ms[0]) * float64(time.Millisecond))
	}
	fit, err := cues.FitTaps(taps)
	if err != nil {
		mend := "tap the beat evenly, at least four times"
		if errors.Is(err, cues.ErrFewTaps) {
			mend = "go on tapping"
		}
		return fit, refuse(Conflict, codeBadTaps, err.Error(), mend)
	}
	return fit, nil
}

// retimed takes in another clock.
func (s *Session) retimed() {
	s.standAgain()
	f := s.follow
	if f == nil {
		return
	}
	next, err := s.followOf(f.cue - 1)
	if err != nil || next == nil {
		return // it was armed, so it can be told; what cannot stays as it is
	}
	switch by := next.after - f.after; {
	case f.paused:
		f.left = max(f.left+by, 0)
	case f.ended:
		f.due = f.due.Add(by)
	}
	f.after = next.after
}

// tempoState tells of the tempo; nil where there is none. s.mu must be held.
func (s *Session) tempoState() *Tempo {
	loc := s.site.Load().loc
	t := s.clock().Tempo
	if !(t.BPM > 0) {
		return nil
	}
	st := &Tempo{BPM: t.BPM, BeatsPerBar: t.BeatsPerBar, Source: tempoOfShow}
	if own, ok := s.tempos[loc.Name]; ok {
		st.Source = own.source
	} else if loc.Tempo.BPM > 0 {
		st.Source = tempoOfLocation
	}
	return st
}
