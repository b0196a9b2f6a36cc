package journal

import (
	"context"
	"fmt"
	"io/fs"
	"log/slog"

	"linkboy/cues/take"
)

// NewReader makes a journal that is only read, also while a daemon writes it. Open
// opens it, Close ends it; Run is not called.
func NewReader(path string, log *slog.Logger) *Journal { return New(path, log) }

// Open opens a journal for reading alone. One of another schema is refused.
func (j *Journal) Open(ctx context.Context) error {
	db, err := openReaders(j.path)
	if err != nil {
		return err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err == nil {
		var has int
		has, err = version(ctx, tx)
		_ = tx.Rollback()
		steps, _ := fs.Glob(schema, "schema/*.sql")
		if err == nil && has > len(steps) {
			err = &NewerError{has, len(steps)}
		}
		if err == nil && has < len(steps) {
			err = fmt.Errorf("the journal has schema %d and this build reads %d", has, len(steps))
		}
	}
	if err != nil {
		_ = db.Close()
		return fmt.Errorf("%s: %w", j.path, err)
	}
	j.read = db
	j.mu.Lock()
	j.status = take.Status{Path: j.path, Ready: true}
	j.mu.Unlock()
	close(j.ready)
	return nil
}

// Close ends a journal that was opened for reading.
func (j *Journal) Close() { _ = j.read.Close() }
