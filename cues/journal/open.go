package journal

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// schema is the list of changes that make a journal, in the order of their names.
//
//go:embed schema/*.sql
var schema embed.FS

// applicationID marks the file as a journal of takes: "LBTK".
const applicationID = 0x4C42544B

// writer is the one connection that writes.
type writer struct {
	db   *sql.DB
	conn *sql.Conn
}

func (w *writer) close() {
	_ = w.conn.Close()
	_ = w.db.Close()
}

// do tries an op as one transaction.
func (w *writer) do(o *op) error {
	ctx := context.Background() // a write that has begun ends
	tx, err := w.conn.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("write take: %w", err)
	}
	if err := o.do(ctx, tx); err != nil {
		_ = tx.Rollback()
		var no *refusal
		if errors.As(err, &no) {
			return err
		}
		return fmt.Errorf("write take: %w", err)
	}
	if err := tx.Commit(); err != nil {
		_ = tx.Rollback()
		return fmt.Errorf("write take: %w", err)
	}
	return nil
}

// open opens the file, makes or upgrades it, and moves a broken one aside.
func (j *Journal) open(ctx context.Context) (*writer, error) {
	w, err := j.openFile(ctx)
	if err != nil && isBroken(err) {
		aside, moveErr := moveAside(j.path, time.Now())
		if moveErr != nil {
			return nil, fmt.Errorf("%w, and it cannot be moved aside: %w", err, moveErr)
		}
		j.mu.Lock()
		j.status.Aside, j.status.Why = aside, err.Error()
		j.mu.Unlock()
		j.log.Warn("the journal of takes was broken and has been moved aside", "path", aside, "error", err)
		w, err = j.openFile(ctx)
	}
	if err != nil {
		return nil, err
	}
	if err := j.begin(ctx, w); err != nil {
		w.close()
		return nil, err
	}
	return w, nil
}

// begin makes the journal ready: takes that were rolling when the daemon stopped
// end, and counts go on from where they were.
func (j *Journal) begin(ctx context.Context, w *writer) error {
	err := endBroken(ctx, w.conn)
	if err == nil {
		err = j.count(ctx, w.conn)
	}
	if err == nil && j.limit != nil {
		err = j.limit(w.conn)
	}
	if err == nil {
		j.read, err = openReaders(j.path)
	}
	return err
}

func (j *Journal) openFile(ctx context.Context) (*writer, error) {
	db, err := sql.Open(driverName, dsn(j.path, "busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"))
	if err != nil {
		return nil, fmt.Errorf("open journal: %w", err)
	}
	db.SetMaxOpenConns(1)
	conn, err := db.Conn(ctx)
	if err != nil {
		_ = db.Close()
		return nil, fmt.Errorf("open journal: %w", err)
	}
	w := &writer{db: db, conn: conn}
	err = check(ctx, conn)
	if err == nil {
		err = migrate(ctx, conn)
	}
	if err != nil {
		w.close()
		return nil, err
	}
	return w, nil
}

// readConns is how many readers there may be at a time.
const readConns = 4

// openReaders opens the file for reading alone.
func openReaders(path string) (*sql.DB, error) {
	db, err := sql.Open(driverName, dsn(path, "busy_timeout(5000)", "query_only(1)"))
	if err != nil {
		return nil, fmt.Errorf("open journal: %w", err)
	}
	db.SetMaxOpenConns(readConns)
	return db, nil
}

// dsn names the file as a URI, with what is set on every connection.
func dsn(path string, pragmas ...string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	q := make([]string, len(pragmas))
	for i, p := range pragmas {
		q[i] = "_pragma=" + p
	}
	return "file://" + (&url.URL{Path: path}).EscapedPath() + "?" + strings.Join(q, "&")
}

// errBroken is a file that is no sound database.
var errBroken = errors.New("the journal is broken")

// check finds a file that is not whole.
func check(ctx context.Context, c *sql.Conn) error {
	var verdict string
	if err := c.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&verdict); err != nil {
		return fmt.Errorf("open journal: %w", err)
	}
	if verdict != "ok" {
		return fmt.Errorf("%w: %s", errBroken, verdict)
	}
	return nil
}

// isBroken tells whether an error says that the file itself is damaged.
func isBroken(err error) bool { return errors.Is(err, errBroken) || damaged(err) }

// NewerError is a journal that a newer build has written.
type NewerError struct{ Has, Knows int }

// Error says what to do.
func (e *NewerError) Error() string {
	return fmt.Sprintf("the journal has schema %d and this build knows %d: use the newer linkboy that wrote it, or move the file away to begin another", e.Has, e.Knows)
}

// ErrForeign is a database that is not a journal.
var ErrForeign = errors.New("the file is a database of something else: move it away to begin a journal")

// migrate brings the file to the newest schema, in one transaction.
func migrate(ctx context.Context, c *sql.Conn) error {
	steps, err := fs.Glob(schema, "schema/*.sql")
	if err != nil {
		return err
	}
	tx, err := c.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("open journal: %w", err)
	}
	defer func() { _ = tx.Rollback() }()
	has, err := version(ctx, tx)
	if err != nil {
		return err
	}
	if has > len(steps) {
		return &NewerError{has, len(steps)}
	}
	for i, name := range steps[has:] {
		text, err := fs.ReadFile(schema, name)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, string(text)); err != nil {
			return fmt.Errorf("open journal: %s: %w", name, err)
		}
		if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d; PRAGMA application_id = %d", has+i+1, applicationID)); err != nil {
			return fmt.Errorf("open journal: %w", err)
		}
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("open journal: %w", err)
	}
	return nil
}

// version tells how many steps a file has had; 0 for a new one.
func version(ctx context.Context, tx *sql.Tx) (int, error) {
	var has, id, tables int
	for _, q := range []struct {
		text string
		to   *int
	}{{"PRAGMA user_version", &has}, {"PRAGMA application_id", &id}, {"SELECT count(*) FROM sqlite_schema", &tables}} {
		if err := tx.QueryRowContext(ctx, q.text).Scan(q.to); err != nil {
			return 0, fmt.Errorf("open journal: %w", err)
		}
	}
	if id != applicationID && (tables > 0 || has > 0) {
		return 0, ErrForeign
	}
	return has, nil
}

// moveAside renames a broken journal, with what belongs to it.
func moveAside(path string, now time.Time) (string, error) {
	aside := fmt.Sprintf("%s.broken-%s", path, now.UTC().Format("20060102-150405"))
	for i := 1; exists(aside); i++ {
		aside = fmt.Sprintf("%s.broken-%s-%d", path, now.UTC().Format("20060102-150405"), i)
	}
	if err := os.Rename(path, aside); err != nil {
		return "", err
	}
	for _, end := range []string{"-wal", "-shm"} {
		if err := os.Rename(path+end, aside+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	return aside, nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
