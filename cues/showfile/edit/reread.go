package edit

import (
	"fmt"
	"path/filepath"
	"reflect"
	"strings"

	"linkboy/cues"
)

// mostNews is how many changes of a show are remembered in words.
const mostNews = 100

// news is a change of the show in words.
type news struct {
	revision uint64
	words    string
}

// tell remembers the change that led to the revision that is now.
func (e *Editor) tell(words string) {
	e.log = append(e.log, news{e.history.Revision, words})
	if len(e.log) > mostNews {
		e.log = e.log[len(e.log)-mostNews:]
	}
}

// StaleError refuses an edit that was made for an older show.
type StaleError struct {
	Asked, Now uint64
	// Since says what changed since, oldest first. Whole says whether that is
	// all; what was changed long ago, or before a restart, is not known.
	Since []string
	Whole bool
}

// Error says what changed.
func (s *StaleError) Error() string {
	if len(s.Since) == 0 {
		return fmt.Sprintf("the edit is for revision %d of the show, and this is %d", s.Asked, s.Now)
	}
	return fmt.Sprintf("the show has changed since revision %d: %s", s.Asked, strings.Join(s.Since, "; "))
}

// Unwrap gives the error as a problem.
func (s *StaleError) Unwrap() error {
	return cues.NewProblem(cues.Pos{}, cues.CodeEditStale, fmt.Sprintf("the show is at revision %d now, not %d", s.Now, s.Asked),
		s.Error(), "look at what changed, and make the edit again if it is still wanted")
}

func (e *Editor) stale(asked uint64) error {
	s := &StaleError{Asked: asked, Now: e.history.Revision}
	for _, n := range e.log {
		if n.revision > asked {
			s.Since = append(s.Since, n.words)
		}
	}
	s.Whole = asked < s.Now && uint64(len(s.Since)) == s.Now-asked
	return s
}

// HandError refuses an edit because files were changed by hand since they were
// read last. They have been read now.
type HandError struct {
	Files  []string
	Result Result // the show with the change, when Err is nil
	Err    error  // why the change could not be taken in: its problems
}

// Error says which files.
func (h *HandError) Error() string {
	text := strings.Join(h.Files, ", ") + " changed by hand in the meantime"
	if h.Err != nil {
		return text + ", and cannot be read as a show: " + h.Err.Error()
	}
	return text
}

// Unwrap gives the error as a problem.
func (h *HandError) Unwrap() []error {
	mend := "look at the show as it is now, and make the edit again if it is still wanted"
	if h.Err != nil {
		mend = "mend the file first; until then the show is used as it was read last"
	}
	out := []error{cues.NewProblem(cues.Pos{File: h.Files[0]}, cues.CodeEditByHand, h.Error(), "nobody's change is lost, so neither is that one", mend)}
	if h.Err != nil {
		out = append(out, h.Err)
	}
	return out
}

// Reread takes in what was changed by hand. When the files are no show without
// errors, the error is their cues.Problems and the show stays as it was read
// last; edits are refused until the files are mended.
func (e *Editor) Reread() (Result, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	disk, err := readFiles(e.dir)
	if err != nil {
		return Result{}, err
	}
	return e.take(disk)
}

// Reload is Reread where a file that is not YAML may have changed, such as a mesh: the
// show is read again though its texts may be the same.
func (e *Editor) Reload() (Result, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	disk, err := readFiles(e.dir)
	if err != nil {
		return Result{}, err
	}
	if len(changed(e.files, disk)) > 0 {
		return e.take(disk)
	}
	show, problems := load(e.dir, disk)
	if show == nil || problems.HasErrors() {
		return Result{}, problems.Errors()
	}
	if reflect.DeepEqual(show, e.show) {
		return Result{Revision: e.history.Revision, Show: e.show, Problems: e.problems}, nil
	}
	next := e.history.clone()
	next.Revision++
	_ = next.write(filepath.Join(e.dir, HistoryFile)) // as in take
	e.show, e.problems, e.history = show, problems, next
	const words = "by hand: a file that the show names"
	e.tell(words)
	return Result{Revision: next.Revision, Show: show, Problems: problems, Words: words, Changed: true}, nil
}

// take makes files the show.
func (e *Editor) take(files map[string][]byte) (Result, error) {
	names := changed(e.files, files)
	if len(names) == 0 {
		return Result{Revision: e.history.Revision, Show: e.show, Problems: e.problems}, nil
	}
	show, problems := load(e.dir, files)
	if show == nil || problems.HasErrors() {
		return Result{}, problems.Errors()
	}
	next := e.history.clone()
	next.Steps = next.Steps[:next.Done]
	next.Move = 0
	next.Revision++
	var changes []Touch
	for _, name := range names {
		hand := diff(e.files[name], files[name])
		for _, h := range hand {
			changes = append(changes, Touch{cues.Pos{File: name, Line: h.At + 1, Column: 1}, "changed by hand"})
		}
		next.rebase(name, hand)
	}
	next.note(files, files)
	// A folder that cannot be written to can be read all the same: then the history on disk
	// is not of these files, and is dropped at the next start.
	_ = next.write(filepath.Join(e.dir, HistoryFile))
	e.files, e.show, e.problems, e.history = files, show, problems, next
	words := "by hand: " + strings.Join(names, ", ")
	e.tell(words)
	return Result{Revision: next.Revision, Show: show, Problems: problems, Words: words, Changes: changes, Changed: true}, nil
}

// rebase carries the steps of a file over a change by hand. From the newest
// step that the change touches back, none can be undone.
func (h *history) rebase(file string, hand []hunk) {
	for i := len(h.Steps) - 1; i >= 0; i-- {
		old := h.Steps[i]
		mine, touches := old.Files[file]
		if !touches {
			continue
		}
		ours, before, ok := past(mine, hand)
		if !ok || old.Blocked != "" {
			for j := range i + 1 {
				h.block(j, fmt.Sprintf("lines of %s that it changed were changed by hand since", file))
			}
			return
		}
		s := &step{Revision: old.Revision, Words: old.Words, Files: map[string][]hunk{}, Made: old.Made, Gone: old.Gone}
		for name, hunks := range old.Files {
			s.Files[name] = hunks
		}
		s.Files[file] = ours
		h.Steps[i], hand = s, before
	}
}

// block marks a step that cannot be undone.
func (h *history) block(i int, why string) {
	if h.Steps[i].Blocked != "" {
		return
	}
	s := *h.Steps[i]
	s.Blocked = why
	h.Steps[i] = &s
}
