package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/impact"
	"linkboy/cues/session"
	"linkboy/cues/showfile/edit"
	"linkboy/server"
)

// openShow opens a show to run and to edit, and prints its problems; with errors it is
// refused. What an edit that was cut short has left behind is taken back first.
func openShow(cmd *cobra.Command, dir string) (*edit.Editor, error) {
	editor, problems, err := edit.Open(dir)
	if err != nil {
		if _, err := loadShow(cmd, dir); err != nil {
			return nil, err // and says in which file
		}
		return nil, mendedError{err, "check that the show's folder can be read and written to"}
	}
	printProblems(cmd.ErrOrStderr(), dir, problems)
	if editor == nil {
		return nil, errBadShow
	}
	return editor, nil
}

// showEditor edits the show on disk for whoever asks over the network, and has what it
// makes taken in by the shelf.
type showEditor struct {
	files  *shelf
	editor *edit.Editor
	turns  turns
	rested time.Time // when the files can be read for a try again; of whose turn it is
}

func newShowEditor(files *shelf) *showEditor { return &showEditor{files: files, editor: files.editor} }

// Edit implements server.Editor.
func (e *showEditor) Edit(r server.EditRequest) (server.Edited, error) {
	edits, err := decodeEdits(r.Edits)
	if err != nil {
		return server.Edited{}, err
	}
	if r.Preview {
		would, err := e.files.peek(func() (edit.Result, error) { return e.editor.Preview(r.Revision, edits...) })
		if err != nil {
			return server.Edited{}, editRefusal(err)
		}
		done := editedBy(would)
		for _, c := range impact.Of(e.files.set.Show(), would.Show, nil) {
			done.Looks = append(done.Looks, c.String())
		}
		return done, nil
	}
	return e.make(r.Live,
		func() (edit.Result, error) { return e.editor.Apply(r.Revision, edits...) },
		func(now uint64) (edit.Result, error) { return e.editor.Undo(now) })
}

// Undo implements server.Editor.
func (e *showEditor) Undo(live bool) (server.Edited, error) {
	return e.make(live, func() (edit.Result, error) { return e.editor.Undo(e.editor.Revision()) }, e.editor.Redo)
}

// Redo implements server.Editor.
func (e *showEditor) Redo(live bool) (server.Edited, error) {
	return e.make(live, func() (edit.Result, error) { return e.editor.Redo(e.editor.Revision()) }, e.editor.Undo)
}

// make does a change of the files and has it taken in; back takes the change back.
func (e *showEditor) make(live bool, do func() (edit.Result, error), back func(uint64) (edit.Result, error)) (server.Edited, error) {
	var r edit.Result
	waits, err := e.files.edit(live, func() (*cues.Show, []string, error) {
		var err error
		r, err = do()
		return r.Show, filesOf(r.Changes), err
	}, func() error {
		if !r.Changed {
			return nil
		}
		_, err := back(r.Revision)
		return err
	})
	if err != nil {
		return server.Edited{}, editRefusal(err)
	}
	done := editedBy(r)
	done.Waits = waits
	return done, nil
}

// Edits implements server.Editor.
func (e *showEditor) Edits() server.EditList {
	revision, undo, redo := e.editor.History()
	return server.EditList{Revision: revision, Undo: undo, Redo: redo}
}

// Try implements server.Editor.
func (e *showEditor) Try(r server.TryRequest) (session.Tried, error) {
	edits, err := decodeEdits(r.Edits)
	if err != nil {
		return session.Tried{}, err
	}
	if !e.turns.enter(r.Look) {
		return session.Tried{}, &session.Refusal{
			Kind: session.Conflict, Code: "overtaken", Where: "look", Message: "a newer try of this look came meanwhile",
			Mend: "send the next one when this is answered",
		}
	}
	defer e.turns.leave()
	ask := session.TryRequest{Look: r.Look, Live: r.Live}
	if len(edits) > 0 {
		ask.Sketch = func(show *cues.Show) (*cues.Show, bool) { return edit.Sketch(show, edits) }
		ask.Whole = func() (*cues.Show, error) { return e.whole(edits) }
	}
	return e.files.set.Try(ask)
}

// wholeEvery is how often the files are read for a try at most: that makes garbage by the
// megabyte, and its collection keeps frames waiting.
const wholeEvery = 500 * time.Millisecond

// whole gives the show as edits would make it, read from its files. Whoever calls it has
// the turn, so that tries that come meanwhile wait, and the newest alone is left then.
func (e *showEditor) whole(edits []edit.Edit) (*cues.Show, error) {
	time.Sleep(time.Until(e.rested))
	defer func() { e.rested = time.Now().Add(wholeEvery) }()
	look := func() (edit.Result, error) { return e.editor.Preview(e.editor.Revision(), edits...) }
	r, err := e.files.peek(look)
	if hand, ok := errors.AsType[*edit.HandError](err); ok && hand.Err == nil {
		r, err = e.files.peek(look) // of the show with the change by hand
	}
	if err != nil {
		return nil, editRefusal(err)
	}
	return r.Show, nil
}

func decodeEdits(texts []json.RawMessage) ([]edit.Edit, error) {
	edits := make([]edit.Edit, 0, len(texts))
	for i, text := range texts {
		e, problem := edit.DecodeEdit(text)
		if problem != nil {
			r := editProblem(problem)
			r.Where = fmt.Sprintf("edits[%d]", i)
			return nil, r
		}
		edits = append(edits, e)
	}
	return edits, nil
}

// editedBy says what came of an edit, or would.
func editedBy(r edit.Result) server.Edited {
	done := server.Edited{Revision: r.Revision, Changed: []string{}}
	for _, t := range r.Changes {
		done.Changed = append(done.Changed, fmt.Sprintf("%s (%s:%d)", t.What, t.Pos.File, t.Pos.Line))
	}
	return done
}

// filesOf lists the files that an edit changed.
func filesOf(changes []edit.Touch) []string {
	var files []string
	for _, t := range changes {
		if !slices.Contains(files, t.Pos.File) {
			files = append(files, t.Pos.File)
		}
	}
	slices.Sort(files)
	return files
}

// editRefusal says why an edit was not made. Nothing has changed then.
func editRefusal(err error) error {
	if _, ok := errors.AsType[*session.Refusal](err); ok {
		return err
	}
	if stale, ok := errors.AsType[*edit.StaleError](err); ok {
		r := editProblem(errorProblem(stale))
		r.Where = "revision"
		return r
	}
	if hand, ok := errors.AsType[*edit.HandError](err); ok {
		r := editProblem(errorProblem(hand))
		if broken, ok := errors.AsType[cues.Problems](hand.Err); ok && len(broken) > 0 {
			r.Where = broken[0].Pos.String()
		}
		return r
	}
	if problems, ok := errors.AsType[cues.Problems](err); ok && len(problems) > 0 {
		r := editProblem(problems[0])
		if more := len(problems) - 1; more > 0 {
			r.Message += fmt.Sprintf(" (and %d more)", more)
		}
		return r
	}
	return &session.Refusal{
		Kind: session.Conflict, Code: "edit-not-written", Where: "the show's folder", Message: "the change cannot be written: " + err.Error(),
		Mend: "free room on the disk and let the show's folder be written to; nothing was changed",
	}
}

// errorProblem gives the problem that an error of the editor stands for.
func errorProblem(err error) *cues.Problem {
	p, _ := errors.AsType[*cues.Problem](err)
	return p
}

// editProblem makes a refusal of a problem that an edit has.
func editProblem(p *cues.Problem) *session.Refusal {
	r := &session.Refusal{Kind: session.Invalid, Code: p.Code, Message: p.What, Where: p.Pos.String(), Mend: p.Mend}
	if p.Why != "" {
		r.Message += ": " + p.Why
	}
	switch p.Code {
	case cues.CodeEditStale, cues.CodeEditByHand, cues.CodeEditUnsure, cues.CodeNothingToUndo, cues.CodeUndoBlocked, cues.CodeDuplicateName:
		r.Kind = session.Conflict
	case cues.CodeUnknownLook, cues.CodeUnknownCharacter, cues.CodeUnknownColour, cues.CodeUnknownGroup, cues.CodeUnknownLamp,
		cues.CodeUnknownMark, cues.CodeUnknownCue, cues.CodeUnknownLocation:
		r.Kind = session.Unknown
	}
	return r
}
