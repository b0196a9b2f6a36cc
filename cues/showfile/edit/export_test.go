package edit

import (
	"encoding/json"

	"linkboy/cues"
)

// ReadFiles and Load are for tests that edit without a disk.
var (
	ReadFiles = readFiles
	Load      = load
	// ParseHistory reads the text of a history file.
	ParseHistory = parseHistory
)

// Text writes a history as its file has it.
func (h *history) Text() ([]byte, error) { return h.append(nil) }

// Make makes edits on files in memory, and says every place that changes.
func Make(show *cues.Show, files map[string][]byte, edits ...Edit) (map[string][]byte, []Touch, *cues.Problem) {
	d := newDraft(show, files)
	for _, e := range edits {
		if p := d.make(e); p != nil {
			return nil, nil, p
		}
	}
	return d.after(), d.changes, nil
}

// What diff, forth, back and past do is also checked by itself.
type Hunk = hunk

var (
	Diff  = diff
	Forth = forth
	Back  = back
	Past  = past
)

// Sealed writes the inside of a history with the checksum that it needs.
func Sealed(inner []byte) []byte {
	text, err := json.Marshal(envelope{historyVersion, hash(inner), inner})
	if err != nil {
		return nil
	}
	return text
}
