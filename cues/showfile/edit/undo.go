package edit

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"linkboy/cues"
)

func isMissing(err error) bool { return errors.Is(err, fs.ErrNotExist) }

// Undo takes the last edit back: the lines that it changed get the bytes that
// they had. Lines that were changed by hand since stay as they are; where the
// edit touches them, or they lie side by side with its lines, it cannot be
// undone. Errors are those of Apply.
func (e *Editor) Undo(revision uint64) (Result, error) { return e.step(revision, -1) }

// Redo makes the edit again that was undone last. A new edit, and a change by
// hand, ends what can be made again.
func (e *Editor) Redo(revision uint64) (Result, error) { return e.step(revision, 1) }

// CanUndo says in words what Undo and Redo would do; "" for nothing.
func (e *Editor) CanUndo() (undo, redo string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	h := &e.history
	if h.Done > 0 && h.Steps[h.Done-1].Blocked == "" {
		undo = h.Steps[h.Done-1].Words
	}
	if h.Done < len(h.Steps) {
		redo = h.Steps[h.Done].Words
	}
	return undo, redo
}

// History says in words what can be undone and what can be made again, each with what
// comes next first, at which revision of the show.
func (e *Editor) History() (revision uint64, undo, redo []string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	h := &e.history
	for i := h.Done - 1; i >= 0 && h.Steps[i].Blocked == ""; i-- {
		undo = append(undo, h.Steps[i].Words)
	}
	for _, s := range h.Steps[h.Done:] {
		redo = append(redo, s.Words)
	}
	return h.Revision, undo, redo
}

func (e *Editor) step(revision uint64, move int) (Result, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if err := e.ready(revision); err != nil {
		return Result{}, err
	}
	next := e.history.clone()
	next.Done += move
	if next.Done < 0 || next.Done > len(next.Steps) {
		what := map[int]string{-1: "undo", 1: "make again"}[move]
		return Result{}, cues.Problems{cues.NewProblem(cues.Pos{}, cues.CodeNothingToUndo, "there is nothing to "+what,
			fmt.Sprintf("the last %d edits are kept, until a new edit or a change by hand", mostSteps), "nothing needs to be done")}
	}
	at, words := next.Done, "undo: "
	if move > 0 {
		at, words = next.Done-1, "again: "
	}
	s := next.Steps[at]
	if s.Blocked != "" {
		return Result{}, cues.Problems{cues.NewProblem(cues.Pos{}, cues.CodeUndoBlocked, fmt.Sprintf("%q cannot be undone", s.Words), s.Blocked,
			"change it back by an edit of its own")}
	}
	after := maps.Clone(e.files)
	var changes []Touch
	for name, hunks := range s.Files {
		if move < 0 {
			hunks = back(hunks)
		}
		text, err := forth(e.files[name], hunks)
		if err != nil {
			return Result{}, cues.Problems{cues.NewProblem(cues.Pos{File: name}, cues.CodeUndoBlocked, fmt.Sprintf("%q cannot be undone", s.Words), err.Error(),
				"change it back by an edit of its own")}
		}
		after[name] = text
		if move < 0 && slices.Contains(s.Made, name) || move > 0 && slices.Contains(s.Gone, name) {
			delete(after, name)
		}
		for _, h := range hunks {
			changes = append(changes, Touch{cues.Pos{File: name, Line: h.At + 1, Column: 1}, words + s.Words})
		}
	}
	next.Move = move
	return e.commit(after, next, &step{Words: words + s.Words}, changes, true)
}
