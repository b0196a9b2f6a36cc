package journal

import (
	"context"
	"database/sql"
	"fmt"

	"linkboy/cues/take"
)

// LimitPages lets the journal's file have so many pages more than it has: what SQLite
// says then (SQLITE_FULL) is what it says on a full disk.
func (j *Journal) LimitPages(more int) {
	j.limit = func(c *sql.Conn) error { return limitPages(c, more) }
}

func limitPages(c *sql.Conn, more int) error {
	ctx := context.Background()
	pages := 0
	if err := c.QueryRowContext(ctx, "PRAGMA page_count").Scan(&pages); err != nil {
		return err
	}
	var now int
	return c.QueryRowContext(ctx, fmt.Sprintf("PRAGMA max_page_count = %d", pages+more)).Scan(&now)
}

// Unlimit takes the limit away, by the writer itself.
func (j *Journal) Unlimit() {
	done := make(chan error, 1)
	j.ops <- &op{do: func(ctx context.Context, tx *sql.Tx) error {
		var now int
		return tx.QueryRowContext(ctx, "PRAGMA max_page_count = 1073741823").Scan(&now)
	}, first: true, done: func(err error) { done <- err }}
	<-done
}

// Fill writes down many takes in one transaction: a disk that is asked for each of
// thousands takes minutes.
func (j *Journal) Fill(takes []take.Take) error {
	done := make(chan error, 1)
	j.ops <- &op{do: func(ctx context.Context, tx *sql.Tx) error {
		for i := range takes {
			if err := insertTake(ctx, tx, &takes[i]); err != nil {
				return err
			}
			for _, e := range takes[i].Events {
				if err := insertEvent(ctx, tx, takes[i].ID, e); err != nil {
					return err
				}
			}
		}
		return nil
	}, done: func(err error) { done <- err }}
	return <-done
}

// Version gives the schema that a file has.
func (j *Journal) Version() (int, error) {
	var v int
	err := j.read.QueryRow("PRAGMA user_version").Scan(&v)
	return v, err
}

// Pragma reads one of the writer's settings.
func (j *Journal) Pragma(name string) (string, error) {
	var v string
	done := make(chan error, 1)
	j.ops <- &op{do: func(ctx context.Context, tx *sql.Tx) error {
		return tx.QueryRowContext(ctx, "PRAGMA "+name).Scan(&v)
	}, done: func(err error) { done <- err }}
	return v, <-done
}

// WriteVersion1 makes a file as the first schema had it, with one take.
func WriteVersion1(path string) error {
	db, err := sql.Open(driverName, dsn(path))
	if err != nil {
		return err
	}
	defer db.Close()
	text, err := schema.ReadFile("schema/001_takes.sql")
	if err != nil {
		return err
	}
	_, err = db.Exec(string(text) + fmt.Sprintf(`;
		INSERT INTO takes (id, scene, slate, number, location, setup, clip, rolled, cut, note, circled, head)
		VALUES (7, '12', 'A', 3, 'deep-end', 'wide', 'A001C003', 1795000000000000000, 1795000030000000000, 'kept from schema 1', 1, '{"show":"tidewater","zone":3600}');
		INSERT INTO looks (look, take, n) VALUES ('warden', 7, 1);
		PRAGMA user_version = 1; PRAGMA application_id = %d`, applicationID))
	return err
}

// Raise makes a file look as a newer build would have left it.
func Raise(path string) error {
	db, err := sql.Open(driverName, dsn(path))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.Exec("PRAGMA user_version = 99")
	return err
}

// Foreign makes a database of something else.
func Foreign(path string) error {
	db, err := sql.Open(driverName, dsn(path))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.Exec("CREATE TABLE recipes (name TEXT)")
	return err
}
