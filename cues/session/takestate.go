package session

import (
	"fmt"
	"time"

	"linkboy/cues/take"
)

// TakeMark is a take that rolls, or the newest that was cut.
type TakeMark struct {
	ID      int64     `json:"id"`
	Scene   string    `json:"scene"`
	Slate   string    `json:"slate"`
	Number  int       `json:"number"`
	Setup   string    `json:"setup"`
	Since   time.Time `json:"since"` // roll
	Cut     time.Time `json:"cut,omitzero"`
	Running int64     `json:"running_ms"` // from roll until now, or until cut
	Kept    *bool     `json:"kept"`       // it is on the disk; nil until that is known
	Note    string    `json:"note"`
	Circled bool      `json:"circled"`
}

// NextTake is the slate that stands ready.
type NextTake struct {
	Scene  string `json:"scene"`
	Slate  string `json:"slate"`
	Number int    `json:"number"`
}

func (r *rolling) mark() *TakeMark {
	t, running := &r.take, r.take.Duration()
	if t.Cut.IsZero() {
		running = time.Since(t.Rolled)
	}
	return &TakeMark{
		ID: t.ID, Scene: t.Scene, Slate: t.Slate, Number: t.Number, Setup: t.Setup,
		Since: t.Rolled, Cut: t.Cut, Running: running.Milliseconds(), Kept: r.kept, Note: t.Note, Circled: t.Circled,
	}
}

// change puts a mark right as the take was.
func (m *TakeMark) change(r *TakeRequest) {
	t := take.Take{Number: m.Number, Note: m.Note, Circled: m.Circled}
	r.fill(&t)
	m.Number, m.Note, m.Circled = t.Number, t.Note, t.Circled
	if r.Scene != nil {
		m.Scene = *r.Scene
	}
	if r.Slate != nil {
		m.Slate = *r.Slate
	}
}

// takeState puts what there is of takes into a state. s.mu must be held.
func (s *Session) takeState(st *State) {
	st.Hot = s.hot
	st.AsShot = s.now.shot.told()
	if s.journal == nil {
		return
	}
	if s.rolling != nil {
		st.Take = s.rolling.mark()
	}
	if s.lastTake != nil {
		last := *s.lastTake
		st.LastTake = &last
	}
	scene, slate, number := s.journal.Next("", "")
	st.NextTake = &NextTake{scene, slate, number}
}

// takeWarnings tells what is wrong with the journal.
func (s *Session) takeWarnings() []Warning {
	if s.journal == nil {
		return nil
	}
	var out []Warning
	st := s.journal.Status()
	if st.Err != nil {
		out = append(out, Warning{
			Code: codeTakeUnwritten, Where: st.Path, Message: "takes are not written down: " + st.Err.Error() + waits(st.Waiting),
			Mend: "free room on its disk and let its folder be written to; until then write takes down by hand",
		})
	}
	if st.Lost > 0 {
		out = append(out, Warning{
			Code: codeTakeLost, Where: st.Path, Message: fmt.Sprintf("%d moments of takes were not written down and are lost", st.Lost),
			Mend: "the list of takes says which of them lack something: write that down by hand",
		})
	}
	if st.Aside != "" {
		out = append(out, Warning{
			Code: codeJournalBroken, Where: st.Aside, Why: st.Why,
			Message: "the journal of takes was broken: it was moved aside and a new one begun",
			Mend:    "keep the file: what is sound in it can be read with SQLite's own command (.recover)",
		})
	}
	return out
}

func waits(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("; %d moments wait to be written", n)
}
