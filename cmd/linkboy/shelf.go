package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/edit"
	"linkboy/cues/showfile/watch"
)

// shelf keeps what runs and what is on disk the same: it reads the show's files again
// as they change, and has the session take in what is good.
type shelf struct {
	dir    string
	editor *edit.Editor
	watch  *watch.Watcher
	log    *slog.Logger
	out    io.Writer // what was taken in
	errors io.Writer // what was not, with the lines it is about

	taking sync.Mutex // from what is on disk to what runs, one at a time
	set    *session.Session

	mu       sync.Mutex // of what follows
	show     *cues.Show // that runs or waits for the cut
	problems cues.Problems
	unlit    []string // files of a show that the session refused, lit at unlitAt
	unlitAt  string
	taken    int
	last     []string
	at       time.Time
}

// newShelf watches over a show that has just been loaded. It must be told of the
// session before it runs.
func newShelf(editor *edit.Editor, log *slog.Logger, out, errors io.Writer) *shelf {
	show := editor.Show()
	return &shelf{dir: show.Dir, editor: editor, watch: watch.New(show.Dir, log), log: log, out: out, errors: errors, show: show}
}

// Run reads the show again whenever its files change, until ctx ends.
func (s *shelf) Run(ctx context.Context) error {
	var wait sync.WaitGroup
	defer wait.Wait()
	wait.Go(func() { s.retry(ctx) })
	s.watch.Run(ctx, s.read)
	return nil
}

// retry reads a show again that was refused for the location that was lit, when another
// one is.
func (s *shelf) retry(ctx context.Context) {
	changed, cancel := s.set.Subscribe()
	defer cancel()
	for {
		select {
		case <-ctx.Done():
			return
		case <-changed:
			if files := s.refusedElsewhere(); files != nil {
				s.read(files)
			}
		}
	}
}

// refusedElsewhere names the files that were not taken in at another location than the one
// that is lit; nil for none. It is asked at every change of what is on.
func (s *shelf) refusedElsewhere() []string {
	s.mu.Lock()
	files, at := s.unlit, s.unlitAt
	s.mu.Unlock()
	if files == nil || s.set.Plan().Location == at {
		return nil
	}
	return files
}

// read takes in the show as it is on disk now.
func (s *shelf) read(changed []string) {
	s.taking.Lock()
	defer s.taking.Unlock()
	began := time.Now()
	r, err := s.reread(changed)
	if err != nil {
		s.refuse(changed, problemsOf(err))
		return
	}
	s.takeHand(r, changed, began)
}

// reread has the editor read what is on disk.
func (s *shelf) reread(changed []string) (edit.Result, error) {
	again := s.editor.Reread
	if slices.ContainsFunc(changed, func(file string) bool { return path.Ext(file) != ".yaml" }) {
		again = s.editor.Reload
	}
	r, err := again()
	if err == nil || errors.As(err, new(cues.Problems)) {
		return r, err
	}
	// A file cannot be read, or is just being put in its place.
	if _, problems := showfile.Load(s.dir); problems.HasErrors() {
		return r, problems.Errors()
	}
	return again()
}

// takeHand takes in a show that was changed by hand. s.taking must be held.
func (s *shelf) takeHand(r edit.Result, changed []string, began time.Time) {
	waits, err := s.take(r.Show, changed, true)
	if err != nil {
		here := s.set.Plan().Location
		s.refuse(changed, problemsOf(err))
		s.mu.Lock()
		s.unlit, s.unlitAt = changed, here
		s.mu.Unlock()
		return
	}
	s.log.Info("the show was read again", "files", changed, "waits", waits, "took", time.Since(began).Round(time.Millisecond))
	printProblems(s.errors, s.dir, r.Problems)
}

// met takes in a change by hand that an edit has met with. s.taking must be held.
func (s *shelf) met(hand *edit.HandError) {
	if hand.Err != nil {
		s.refuse(hand.Files, problemsOf(hand.Err))
		return
	}
	s.takeHand(hand.Result, hand.Files, time.Now())
}

// edit has write change the show on disk and takes in what it gives, while nothing else
// is read: so a file saved by hand at the same time is read after it. A show that the
// session refuses is not left on disk: back undoes what write did.
func (s *shelf) edit(live bool, write func() (show *cues.Show, changed []string, err error), back func() error) (waits bool, err error) {
	s.taking.Lock()
	defer s.taking.Unlock()
	show, changed, err := write()
	if hand, ok := errors.AsType[*edit.HandError](err); ok {
		s.met(hand)
	}
	if err != nil {
		return false, err
	}
	if waits, err = s.take(show, changed, live); err != nil {
		return false, errors.Join(err, back())
	}
	return waits, nil
}

// peek looks at what the editor would do, while nothing is read or written.
func (s *shelf) peek(look func() (edit.Result, error)) (edit.Result, error) {
	s.taking.Lock()
	defer s.taking.Unlock()
	r, err := look()
	if hand, ok := errors.AsType[*edit.HandError](err); ok {
		s.met(hand)
	}
	return r, err
}

// take has the session take in a show that is on disk. A show like the one that it has,
// as when a program wrote the files and took them in itself, changes nothing. s.taking
// must be held.
func (s *shelf) take(show *cues.Show, changed []string, live bool) (waits bool, err error) {
	if !s.is(show) {
		if waits, err = s.set.Replace(show, live); err != nil {
			return false, err
		}
		s.tell(changed, waits)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.show, s.problems, s.unlit = show, nil, nil
	return waits, nil
}

// is tells whether a show is the one that runs or waits.
func (s *shelf) is(show *cues.Show) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return reflect.DeepEqual(show, s.show)
}

func (s *shelf) tell(changed []string, waits bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.taken, s.last, s.at = s.taken+1, changed, time.Now()
	when := ""
	if waits {
		when = ", which waits for the cut of the hot set"
	}
	fmt.Fprintf(s.out, "taken in: %s%s\n", strings.Join(changed, ", "), when)
}

// refuse keeps the problems of a show that cannot be taken in. What runs stays.
func (s *shelf) refuse(changed []string, problems cues.Problems) {
	s.mu.Lock()
	s.problems, s.unlit = problems, nil
	s.mu.Unlock()
	s.log.Error("the show on disk is not taken in; what runs stays as it was", "files", changed, "problems", len(problems))
	for _, p := range problems {
		s.log.Error(p.What, "code", p.Code, "where", p.Pos.String(), "why", p.Why, "mend", p.Mend)
	}
	printProblems(s.errors, s.dir, problems)
}

// problemsOf makes problems of the show of what it is refused for.
func problemsOf(err error) cues.Problems {
	if problems, ok := errors.AsType[cues.Problems](err); ok {
		return problems
	}
	if r, ok := errors.AsType[*session.Refusal](err); ok {
		return cues.Problems{cues.NewProblem(cues.Pos{File: r.Where}, r.Code, r.Message, "", r.Mend)}
	}
	return cues.Problems{cues.NewProblem(cues.Pos{}, "failed", err.Error(), "", "save it again")}
}

// files is how the show on disk stands to what runs, as pages are told.
func (s *shelf) files() session.Files {
	s.mu.Lock()
	defer s.mu.Unlock()
	f := session.Files{Taken: s.taken, Last: append([]string{}, s.last...), Problems: []session.FileProblem{}}
	if !s.at.IsZero() {
		f.TakenMS = time.Since(s.at).Milliseconds()
	}
	for _, p := range s.problems {
		f.Problems = append(f.Problems, session.FileProblem(problemJSON{
			File: p.File, Line: p.Line, Column: p.Column, Code: p.Code, Severity: string(p.Severity), What: p.What, Why: p.Why, Mend: p.Mend,
		}))
	}
	return f
}
