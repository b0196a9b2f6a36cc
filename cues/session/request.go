package session

import "strconv"

// Target names what to run or to make ready: a look, or a cue of the sheet by
// its number, or a take. Exactly one is given.
type Target struct {
	Look string `json:"look,omitempty"`
	Cue  *int   `json:"cue,omitempty"`
	// Take makes a take that was shot ready, at one of its events, 0 for roll. Only
	// what stands by can be one: AsShot runs it.
	Take  int64 `json:"take,omitempty"`
	Event int   `json:"event,omitempty"`
}

// String names what is meant: "cue 3", "look tide".
func (t Target) String() string {
	switch {
	case t.Cue != nil:
		return "cue " + strconv.Itoa(*t.Cue)
	case t.Look != "":
		return "look " + t.Look
	}
	return "nothing"
}

// CueRequest asks for a look or a cue. Empty fields keep what the cue sheet
// says; a look by name has no sheet and changes in no time unless Fade is given.
type CueRequest struct {
	Target
	Fade   string `json:"fade,omitempty"`   // "4 s", "48 frames on screen"
	Delay  string `json:"delay,omitempty"`  // as Fade
	Curve  string `json:"curve,omitempty"`  // even, soft, in, out
	Path   string `json:"path,omitempty"`   // short, round, round other way, white, dark, mired, straight
	Spread string `json:"spread,omitempty"` // "1.2 s along edge"; "0 s" for none
	// At puts the fade at this progress, 0..1, and holds it there.
	At *float64 `json:"at,omitempty"`
	// CountIn has the cue stand by now and run so much later, on the dot.
	CountIn string `json:"count_in,omitempty"` // "4 beats", "1 bar", "5 s"
}
