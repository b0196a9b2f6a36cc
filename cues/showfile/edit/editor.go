package edit

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"linkboy/cues"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/inplace"
)

// Editor changes a show on disk. All methods can be called from anywhere at any
// time; one change is made after the other.
type Editor struct {
	dir string

	mu       sync.Mutex
	files    map[string][]byte // the YAML that show was read from
	show     *cues.Show
	problems cues.Problems // warnings of show
	history  history
	log      []news                   // newest last
	parsed   map[string]*inplace.File // files as they were parsed last; maybe of older bytes
}

// Result is the show after an edit.
type Result struct {
	// Revision is that of Show; it has risen when anything changed.
	Revision uint64
	Show     *cues.Show
	// Problems are the warnings of Show, all of them.
	Problems cues.Problems
	Words    string  // what was done
	Changes  []Touch // every place that changed, as it was before
	Changed  bool    // false when the show was so already
}

// Open reads the show in a folder. There is no editor for a show with errors;
// they are in the problems, as are warnings. The error says that the folder
// cannot be read.
//
// What an edit that was cut short has left behind is taken back first.
func Open(dir string) (*Editor, cues.Problems, error) {
	e := &Editor{dir: dir}
	lost, err := e.recall()
	if err != nil {
		return nil, nil, err
	}
	show, problems := load(dir, e.files)
	if show == nil || problems.HasErrors() {
		return nil, problems, nil
	}
	e.show, e.problems = show, problems
	if lost != nil {
		problems = append(slices.Clone(problems), lost)
		problems.Sort()
	}
	return e, problems, nil
}

// Show gives the show as it is. It is never changed: an edit makes another.
func (e *Editor) Show() *cues.Show {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.show
}

// Revision gives the number of the show as it is. It rises with every change,
// also one by hand, and goes on over a restart.
func (e *Editor) Revision() uint64 {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.history.Revision
}

// Apply makes edits as one: all or none, undone in one step. revision is that
// of the show which they were made for. The error is a *StaleError when the show
// has changed since, a *HandError when that was by hand on disk, cues.Problems
// when the edits cannot be made (their places are in the files as they would
// be), and else what failed in writing. After any error the files are as they
// were.
func (e *Editor) Apply(revision uint64, edits ...Edit) (Result, error) {
	return e.edit(revision, edits, true)
}

// Preview says what Apply would do, and changes nothing.
func (e *Editor) Preview(revision uint64, edits ...Edit) (Result, error) {
	return e.edit(revision, edits, false)
}

func (e *Editor) edit(revision uint64, edits []Edit, write bool) (Result, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if err := e.ready(revision); err != nil {
		return Result{}, err
	}
	d := newDraft(e.show, e.files)
	d.parsed = e.parsed
	var words []string
	for _, edit := range edits {
		if p := d.make(edit); p != nil {
			return Result{}, cues.Problems{p}
		}
		words = append(words, edit.String())
	}
	after := d.after()
	s := stepOf(e.files, after)
	s.Revision, s.Words = e.history.Revision+1, strings.Join(words, "; ")
	if len(s.Files) == 0 {
		return Result{Revision: e.history.Revision, Show: e.show, Problems: e.problems, Words: s.Words}, nil
	}
	next := e.history.clone()
	next.push(s)
	next.Move = 1
	r, err := e.commit(after, next, s, d.changes, write)
	if err == nil && write {
		e.parsed = d.opened
	}
	return r, err
}

// ready checks that an edit for a revision can be made now.
func (e *Editor) ready(revision uint64) error {
	disk, err := readFiles(e.dir)
	if err != nil {
		return err
	}
	if files := changed(e.files, disk); len(files) > 0 {
		r, err := e.take(disk)
		return &HandError{Files: files, Result: r, Err: err}
	}
	if revision != e.history.Revision {
		return e.stale(revision)
	}
	return nil
}

// commit makes the files what after says, when that is a show without errors.
func (e *Editor) commit(after map[string][]byte, next history, s *step, changes []Touch, write bool) (Result, error) {
	show, problems := load(e.dir, after)
	if show == nil || problems.HasErrors() {
		return Result{}, problems.Errors()
	}
	next.Revision = e.history.Revision + 1
	r := Result{Revision: next.Revision, Show: show, Problems: problems, Words: s.Words, Changes: changes, Changed: true}
	if !write {
		return r, nil
	}
	next.note(e.files, after)
	if err := e.write(after, &next); errors.Is(err, showfile.ErrChanged) {
		return Result{}, e.byHand(err)
	} else if err != nil {
		return Result{}, err
	}
	e.files, e.show, e.problems, e.history = after, show, problems, next
	e.tell(s.Words)
	return r, nil
}

// byHand takes in a change by hand that came while an edit was written.
func (e *Editor) byHand(err error) error {
	if disk, readErr := readFiles(e.dir); readErr == nil {
		if files := changed(e.files, disk); len(files) > 0 {
			r, err := e.take(disk)
			return &HandError{Files: files, Result: r, Err: err}
		}
	}
	return err
}

// recall reads the files and the history, and takes back what was cut short.
// The problem is a warning that nothing can be undone.
func (e *Editor) recall() (lost *cues.Problem, err error) {
	if e.files, err = readFiles(e.dir); err != nil {
		return nil, err
	}
	path := filepath.Join(e.dir, HistoryFile)
	h, why := readHistory(path)
	if why == nil {
		why = e.match(&h)
	}
	switch {
	case why == nil:
		e.history = h
		return nil, nil
	case isMissing(why):
		e.history = history{Revision: 1}
		return nil, nil
	}
	e.history = history{Revision: h.Revision + 1}
	return cues.NewProblem(cues.Pos{File: HistoryFile}, cues.CodeHistoryLost, "edits made before cannot be undone any more",
		why.Error(), "nothing needs to be done; edits from now on can be undone"), nil
}

// match checks that the files are what the history says, and takes back its last
// change when that was cut short.
func (e *Editor) match(h *history) error {
	if holds(e.files, h.Now) == "" {
		return nil
	}
	s, undo := h.last()
	if s == nil {
		return fmt.Errorf("%s was changed by hand since", holds(e.files, h.Now))
	}
	before := map[string][]byte{}
	for name, was := range h.Was {
		switch now := digest(e.files, name); {
		case now == was:
			if now != "" {
				before[name] = e.files[name]
			}
		case now == h.Now[name]:
			text, err := forth(e.files[name], undo(name))
			if err != nil || was != "" && hash(text) != was || was == "" && len(text) > 0 {
				return fmt.Errorf("%s was changed by hand since", name)
			}
			if was != "" {
				before[name] = text
			}
		default:
			return fmt.Errorf("%s was changed by hand since", name)
		}
	}
	for name := range h.Was {
		if digest(before, name) == digest(e.files, name) {
			continue
		}
		if err := e.putBack(name, before, e.files); err != nil {
			return err
		}
		if text, was := before[name]; was {
			e.files[name] = text
		} else {
			delete(e.files, name)
		}
	}
	h.Done -= h.Move
	h.Now, h.Move = h.Was, 0
	return nil
}

// holds gives the first file whose text has not the hash that it should have.
func holds(files map[string][]byte, hashes map[string]string) string {
	for name, want := range hashes {
		if digest(files, name) != want {
			return name
		}
	}
	return ""
}
