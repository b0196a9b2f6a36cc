package edit

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"linkboy/cues/showfile"
)

// HistoryFile is the name of the file in the folder of a show that keeps what
// can be undone. It can be deleted at any time.
const HistoryFile = ".history.json"

const (
	// mostSteps is how many edits can be undone.
	mostSteps = 100
	// mostText bounds the text of all steps, in bytes.
	mostText = 8 << 20
	// longestHistory is more than the file of a history takes.
	longestHistory = 64 << 20

	historyVersion = 1
)

// step is an edit that can be undone: what it changed, by file.
type step struct {
	Revision uint64            `json:"revision"`
	Words    string            `json:"words"`
	Files    map[string][]hunk `json:"files"`
	// Made are those of the files that it makes, Gone those that it takes away.
	Made []string `json:"made,omitempty"`
	Gone []string `json:"gone,omitempty"`
	// Blocked says why it cannot be undone any more; "" when it can.
	Blocked string `json:"blocked,omitempty"`
}

func (s *step) size() int {
	n := 0
	for _, hunks := range s.Files {
		for _, h := range hunks {
			for _, line := range slices.Concat(h.Before, h.After) {
				n += len(line)
			}
		}
	}
	return n
}

// history is the edits made, and how many of them are made now: the others have
// been undone.
type history struct {
	Revision uint64  `json:"revision"`
	Steps    []*step `json:"steps"`
	Done     int     `json:"done"`
	// Move is the last change of Done: 1 for an edit or one made again, -1 for
	// one undone, 0 for neither.
	Move int `json:"move"`
	// Now has the hashes of the files that steps change, "" for no file, and Was those before
	// the last change: the history is written first, so that a change that was
	// cut short can be taken back.
	Now map[string]string `json:"now"`
	Was map[string]string `json:"was"`
}

// envelope is the file of a history.
type envelope struct {
	Version int             `json:"version"`
	Sum     string          `json:"sum"` // of History, SHA-256
	History json.RawMessage `json:"history"`
}

func hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// push adds a step after those that are done and drops what was undone, and
// what is too old or too long.
func (h *history) push(s *step) {
	h.Steps = append(h.Steps[:h.Done:h.Done], s)
	text := 0
	first := len(h.Steps)
	for first > 0 && len(h.Steps)-first < mostSteps {
		if text += h.Steps[first-1].size(); text > mostText && first < len(h.Steps) {
			break
		}
		first--
	}
	h.Steps = h.Steps[first:]
	h.Done = len(h.Steps)
}

// clone copies h; steps are shared, and never written to once they are in it.
func (h *history) clone() history {
	out := *h
	out.Steps = slices.Clone(h.Steps)
	return out
}

// note keeps the hashes of the files that steps change, before and after a
// change of the files.
func (h *history) note(before, after map[string][]byte) {
	h.Now, h.Was = map[string]string{}, map[string]string{}
	for _, s := range h.Steps {
		for file := range s.Files {
			h.Now[file], h.Was[file] = digest(after, file), digest(before, file)
		}
	}
}

func (h *history) append(dst []byte) ([]byte, error) {
	inner, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	outer, err := json.Marshal(envelope{historyVersion, hash(inner), inner})
	return append(append(dst, outer...), '\n'), err
}

func (h *history) write(path string) error {
	text, err := h.append(nil)
	if err != nil {
		return err
	}
	return showfile.WriteAtomic(path, text)
}

func readHistory(path string) (history, error) {
	f, err := os.Open(path)
	if err != nil {
		return history{}, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, longestHistory+1))
	if err != nil {
		return history{}, err
	}
	if len(text) > longestHistory {
		return history{}, errors.New("no history is that long")
	}
	return parseHistory(text)
}

// parseHistory reads the text of a history and checks that it can be one.
func parseHistory(text []byte) (history, error) {
	var out envelope
	var h history
	if err := json.Unmarshal(text, &out); err != nil {
		return h, err
	}
	if out.Version != historyVersion {
		return h, fmt.Errorf("it has version %d, this build knows %d", out.Version, historyVersion)
	}
	if out.Sum != hash(out.History) {
		return h, errors.New("its checksum is wrong")
	}
	dec := json.NewDecoder(bytes.NewReader(out.History))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&h); err != nil {
		return history{}, err
	}
	if h.Done < 0 || h.Done > len(h.Steps) || len(h.Steps) > mostSteps || slices.Contains(h.Steps, nil) ||
		h.Move < -1 || h.Move > 1 || h.Move == 1 && h.Done == 0 || h.Move == -1 && h.Done == len(h.Steps) {
		return history{}, errors.New("its steps do not add up")
	}
	for _, s := range h.Steps {
		for _, hunks := range s.Files {
			for _, k := range hunks {
				if k.At < 0 {
					return history{}, errors.New("a line has no such number")
				}
			}
		}
	}
	return h, nil
}

// last gives the step that the last change made or undid, and what takes that
// change back in a file.
func (h *history) last() (*step, func(file string) []hunk) {
	switch h.Move {
	case 1:
		s := h.Steps[h.Done-1]
		return s, func(file string) []hunk { return back(s.Files[file]) }
	case -1:
		s := h.Steps[h.Done]
		return s, func(file string) []hunk { return s.Files[file] }
	}
	return nil, nil
}
