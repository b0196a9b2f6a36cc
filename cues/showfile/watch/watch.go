package watch

import (
	"context"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// How long the folder must be still before it is read, so that a save of several
// files or in several writes is one change; how long that is waited for; and how
// often it is looked at where the system tells of changes, and where it does not.
const (
	quiet     = 150 * time.Millisecond
	mostQuiet = time.Second
	seldom    = 15 * time.Second
	often     = time.Second
)

// Watcher watches the folder of a show.
type Watcher struct {
	dir   string
	fsys  fs.FS
	log   *slog.Logger
	known Files
}

// New makes a Watcher of what changes in dir from now on.
func New(dir string, log *slog.Logger) *Watcher {
	w := &Watcher{dir: dir, fsys: os.DirFS(dir), log: log}
	w.known, _ = Scan(w.fsys, Files{}, time.Now()) // what cannot be read has changed when it can
	return w
}

// Run tells of changes until ctx ends, one after the other, from its own goroutine.
// changed are slash paths in the folder.
func (w *Watcher) Run(ctx context.Context, tell func(changed []string)) {
	events, err := fsnotify.NewWatcher()
	if err != nil {
		w.log.Warn("the show's folder is looked at every second, as the system does not tell of changes", "error", err)
		w.run(ctx, nil, func() time.Duration { return often }, tell)
		return
	}
	defer events.Close()
	nudges := make(chan struct{}, 1)
	go pass(ctx, events, nudges)
	w.run(ctx, nudges, func() time.Duration { return w.follow(events) }, tell)
}

// pass makes a nudge of events until ctx ends.
func pass(ctx context.Context, events *fsnotify.Watcher, nudges chan<- struct{}) {
	nudge := func() {
		select {
		case nudges <- struct{}{}:
		default:
		}
	}
	for {
		select {
		case <-ctx.Done():
			return
		case e, open := <-events.Events:
			if !open {
				return
			}
			if e.Op != fsnotify.Chmod {
				nudge()
			}
		case _, open := <-events.Errors: // events were lost: look
			if !open {
				return
			}
			nudge()
		}
	}
}

// follow has the system watch every folder there is now, and gives how long to go
// before the next look without an event.
func (w *Watcher) follow(events *fsnotify.Watcher) time.Duration {
	every := seldom
	for _, name := range append([]string{"."}, w.known.folders...) {
		if err := events.Add(filepath.Join(w.dir, filepath.FromSlash(name))); err != nil {
			every = often // too many watches on this machine, or the folder is not there now
		}
	}
	return every
}

// run looks when there is a nudge and the folder has been still, and from time to
// time. follow is called after every look and says when the next is at the latest.
func (w *Watcher) run(ctx context.Context, nudges <-chan struct{}, follow func() time.Duration, tell func([]string)) {
	timer := time.NewTimer(follow())
	defer timer.Stop()
	var first time.Time // nudge that no look has answered
	for {
		select {
		case <-ctx.Done():
			return
		case <-nudges:
			if first.IsZero() {
				first = time.Now()
			}
			timer.Reset(min(quiet, max(mostQuiet-time.Since(first), 0)))
		case <-timer.C:
			first = time.Time{}
			again := w.look(tell)
			next := follow()
			if again {
				next = quiet
			}
			timer.Reset(next)
		}
	}
}

// look tells of what has changed. It is true when the folder changed while it was
// read or cannot be read now, so that it must be looked at again soon.
func (w *Watcher) look(tell func([]string)) (again bool) {
	now, err := Scan(w.fsys, w.known, time.Now())
	if err != nil {
		if len(w.known.files) > 0 {
			w.known = Files{}
			tell([]string{"."})
		}
		return true // it may come back between this look and the next watch
	}
	changed := now.Changed(w.known)
	w.known = now
	if len(changed) == 0 {
		return false
	}
	tell(changed)
	return true // what was saved while it was read is new
}
