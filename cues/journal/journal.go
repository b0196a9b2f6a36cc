package journal

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"sync"
	"time"

	"linkboy/cues/take"
)

// Name is the file of the journal in the folder of a show.
const Name = "journal.db"

const (
	queueRoom   = 256  // that may wait for the writer
	backlogRoom = 1024 // that may wait for a disk that takes them again
	retryWait   = 5 * time.Second
)

// Journal keeps takes. It is safe for concurrent use. Nothing is written and
// nothing can be read before Run has opened it.
type Journal struct {
	path  string
	log   *slog.Logger
	ops   chan *op
	ready chan struct{} // closed once it is open, or cannot be
	ended chan struct{} // closed when Run has returned
	read  *sql.DB       // set before ready is closed; nil when it cannot be opened

	mu      sync.Mutex // guards all below; never held over a write
	status  take.Status
	next    int64                 // id of the next take
	latest  [2]string             // scene and slate of the newest take
	numbers map[[2]string]int     // scene and slate -> highest number
	lost    map[int64]int         // take -> events lost of it
	backlog []*op                 // the writer's own
	limit   func(*sql.Conn) error // for tests: a disk that is full
}

// op is one thing to write. It is tried as one transaction.
type op struct {
	do    func(context.Context, *sql.Tx) error
	keep  bool        // it is tried again when the disk does not take it
	first bool        // it goes before those that wait
	take  int64       // that it is an event of; counts as lost when it never goes out
	done  func(error) // nil when nobody waits
}

// New makes a journal of a file; a nil log is silent.
func New(path string, log *slog.Logger) *Journal {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	return &Journal{
		path: path, log: log, ops: make(chan *op, queueRoom), ready: make(chan struct{}), ended: make(chan struct{}),
		status: take.Status{Path: path}, next: 1, numbers: map[[2]string]int{}, lost: map[int64]int{},
	}
}

// Status tells how the journal does.
func (j *Journal) Status() take.Status {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.status
}

// Run opens the journal and writes until ctx ends, then what is left, and returns
// nil: a journal that cannot be kept is told in Status and stops nothing. A journal
// runs once.
func (j *Journal) Run(ctx context.Context) error {
	defer close(j.ended)
	w, err := j.open(context.WithoutCancel(ctx))
	if err != nil {
		j.failed(err)
		j.log.Error("takes are not written down", "path", j.path, "error", err)
		close(j.ready)
		j.refuseAll(ctx, err)
		return nil
	}
	defer w.close()
	defer j.read.Close()
	j.mu.Lock()
	j.status.Ready = true
	j.mu.Unlock()
	close(j.ready)
	j.write(ctx, w)
	return nil
}

// refuseAll answers for a journal that is not there.
func (j *Journal) refuseAll(ctx context.Context, why error) {
	for {
		select {
		case o := <-j.ops:
			j.drop(o, why)
		case <-ctx.Done():
			for {
				select {
				case o := <-j.ops:
					j.drop(o, why)
				default:
					return
				}
			}
		}
	}
}

// write is the writer.
func (j *Journal) write(ctx context.Context, w *writer) {
	retry := time.NewTimer(retryWait)
	defer retry.Stop()
	for {
		select {
		case o := <-j.ops:
			j.handle(w, o)
		case <-retry.C:
			j.catchUp(w)
			retry.Reset(retryWait)
		case <-ctx.Done():
			j.finish(w)
			return
		}
	}
}

// finish writes what is left, once more.
func (j *Journal) finish(w *writer) {
	for {
		select {
		case o := <-j.ops:
			j.handle(w, o)
			continue
		default:
		}
		break
	}
	j.catchUp(w)
	for _, o := range j.backlog {
		j.drop(o, errors.New("the daemon ends and the disk does not take it"))
	}
	j.backlog = nil
}

// handle writes one op, behind those that wait.
func (j *Journal) handle(w *writer, o *op) {
	if !o.first && !j.catchUp(w) {
		j.postpone(o, j.Status().Err)
		return
	}
	err := w.do(o)
	var no *refusal
	switch {
	case err == nil:
		j.failed(nil)
		o.answer(nil)
	case errors.As(err, &no):
		o.answer(no.why)
	case hopeless(err):
		j.log.Error("a moment of a take cannot be written down", "error", err)
		j.drop(o, err)
	default:
		j.failed(err)
		j.postpone(o, err)
	}
}

// catchUp tries what waits, in its order, and tells whether nothing waits any more.
func (j *Journal) catchUp(w *writer) bool {
	for len(j.backlog) > 0 {
		o := j.backlog[0]
		err := w.do(o)
		var no *refusal
		switch {
		case err == nil || errors.As(err, &no):
		case hopeless(err):
			j.drop(o, err)
		default:
			j.failed(err)
			j.waiting()
			return false
		}
		j.backlog[0] = nil
		j.backlog = j.backlog[1:]
		j.failed(nil)
	}
	j.waiting()
	return true
}

// postpone keeps an op for later, where it may be and there is room.
func (j *Journal) postpone(o *op, why error) {
	if !o.keep {
		o.answer(why)
		return
	}
	if len(j.backlog) >= backlogRoom {
		j.drop(o, why)
		return
	}
	j.backlog = append(j.backlog, o)
	j.waiting()   // before the answer, so that whoever is told can ask for it
	o.answer(why) // it is not on the disk, whatever comes
}

// drop counts what is never written.
func (j *Journal) drop(o *op, why error) {
	j.mu.Lock()
	if o.keep {
		j.status.Lost++
		if o.take > 0 {
			j.lost[o.take]++
		}
	}
	j.mu.Unlock()
	o.answer(why)
}

func (j *Journal) waiting() {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.status.Waiting = len(j.backlog)
}

// failed notes how the newest write went, and logs each trouble once.
func (j *Journal) failed(err error) {
	j.mu.Lock()
	was := j.status.Err
	j.status.Err = err
	j.mu.Unlock()
	if err != nil && was == nil {
		j.log.Error("a take is not written down yet", "path", j.path, "error", err)
	}
}

// answer tells whoever waits, once.
func (o *op) answer(err error) {
	if o.done != nil {
		o.done(err)
		o.done = nil
	}
}

// ask puts an op into the queue; it never waits.
func (j *Journal) ask(o *op) {
	select {
	case <-j.ended:
		j.drop(o, take.ErrNotReady)
		return
	default:
	}
	select {
	case j.ops <- o:
	default:
		j.drop(o, take.ErrFull)
	}
}

// Wait waits until the journal can be read and written, or cannot be opened, or ctx ends.
func (j *Journal) Wait(ctx context.Context) error {
	select {
	case <-j.ready:
	case <-ctx.Done():
		return take.ErrNotReady
	}
	st := j.Status()
	if !st.Ready {
		return st.Err
	}
	return nil
}

// refusal is an op that makes no sense: it is not tried again.
type refusal struct{ why error }

func (r *refusal) Error() string { return r.why.Error() }
