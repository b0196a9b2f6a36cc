package session

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"maps"
	"os"
	"sync/atomic"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// stateVersion is that of the form of the state file.
const stateVersion = 1

// longestState is more than any show's state takes.
const longestState = 1 << 20

// state is what is remembered over a restart.
type state struct {
	Version   int               `json:"version"`
	Location  string            `json:"location"`
	Look      string            `json:"look"`
	Cue       int               `json:"cue"`
	Standby   int               `json:"standby"` // cue number; 0 for none of the sheet
	Overall   *float64          `json:"overall"`
	Shot      *shot             `json:"as_shot,omitempty"` // the take that was on again, whole: the journal is not open yet at the start
	Locations map[string]string `json:"locations"`         // look that is or was on, by location
	// Setups are those chosen, by location; the first of a location is not noted.
	Setups map[string]string `json:"setups,omitempty"`
	// Tempos are those that were given by hand, by location.
	Tempos map[string]keptTempo `json:"tempos,omitempty"`
}

type keptTempo struct {
	BPM         float64 `json:"bpm"`
	BeatsPerBar int     `json:"beats_per_bar"`
	Source      string  `json:"source"`
}

// memory gives what to remember; s.mu must be held.
func (s *Session) memory() state {
	m := state{
		Version: stateVersion, Location: s.site.Load().loc.Name, Look: s.now.look, Cue: s.now.cue,
		Overall: new(s.now.overall), Shot: s.now.shot, Locations: make(map[string]string, len(s.visited)),
	}
	for place, look := range s.visited {
		m.Locations[place] = look
	}
	if len(s.setups) > 0 {
		m.Setups = maps.Clone(s.setups)
	}
	if s.standby != nil {
		m.Standby = s.standby.cue
	}
	for place, t := range s.tempos {
		if m.Tempos == nil {
			m.Tempos = map[string]keptTempo{}
		}
		m.Tempos[place] = keptTempo{t.BPM, t.BeatsPerBar, t.source}
	}
	return m
}

// store keeps the newest state in a file, away from whoever changes it.
type store struct {
	path   string
	log    *slog.Logger
	newest chan state            // of room 1: a newer state takes the place of one not yet written
	failed atomic.Pointer[error] // of the newest write; nil when it went well
}

func newStore(path string, log *slog.Logger) *store {
	return &store{path: path, log: log, newest: make(chan state, 1)}
}

// keep hands over a state to write; one goroutine at a time may call it.
func (st *store) keep(s state) {
	if st.path == "" {
		return
	}
	select {
	case <-st.newest:
	default:
	}
	st.newest <- s
}

// run writes what it is given until ctx ends, and then what is left.
func (st *store) run(ctx context.Context) {
	for {
		select {
		case s := <-st.newest:
			st.write(s)
		case <-ctx.Done():
			select {
			case s := <-st.newest:
				st.write(s)
			default:
			}
			return
		}
	}
}

func (st *store) write(s state) {
	text, err := json.MarshalIndent(s, "", "  ")
	if err == nil {
		err = showfile.WriteAtomic(st.path, append(text, '\n'))
	}
	if err == nil {
		st.failed.Store(nil)
		return
	}
	if st.failed.Swap(&err) == nil { // told once, until it goes well again
		st.log.Error("what is on will not be remembered over a restart", "path", st.path, "error", err)
	}
}

// read gives the state that was kept, the zero state when there is none. A
// file that cannot be read is a warning.
func (st *store) read() (state, cues.Problems) {
	if st.path == "" {
		return state{}, nil
	}
	s, err := st.load()
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	p := cues.NewProblem(cues.Pos{File: st.path}, codeStateBroken, "what was on when the daemon stopped is not known",
		err.Error(), "run the look that should be on; the file is written anew")
	p.Severity = cues.Warning
	return state{}, cues.Problems{p}
}

func (st *store) load() (state, error) {
	f, err := os.Open(st.path)
	if err != nil {
		return state{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return state{}, err
	}
	if info.Size() > longestState {
		return state{}, fmt.Errorf("it has %d bytes, and no state is that long", info.Size())
	}
	text := make([]byte, info.Size())
	if _, err := f.ReadAt(text, 0); err != nil && len(text) > 0 {
		return state{}, err
	}
	return parseState(text)
}

// parseState reads the text of a state file.
func parseState(text []byte) (state, error) {
	var s state
	dec := json.NewDecoder(bytes.NewReader(text))
	if err := dec.Decode(&s); err != nil {
		return state{}, err
	}
	switch {
	case dec.More():
		return state{}, errors.New("something follows the state")
	case s.Version != stateVersion:
		return state{}, fmt.Errorf("it has version %d, this build knows %d", s.Version, stateVersion)
	case s.Overall != nil && !(*s.Overall >= 0 && *s.Overall <= 1):
		return state{}, fmt.Errorf("overall is %g, not 0 to 1", *s.Overall)
	}
	for place, t := range s.Tempos {
		if err := checkTempo(cues.Tempo{BPM: t.BPM, BeatsPerBar: t.BeatsPerBar}); err != nil {
			return state{}, fmt.Errorf("the tempo of %s: %w", place, err)
		}
	}
	return s, nil
}
