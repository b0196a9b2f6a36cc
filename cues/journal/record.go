package journal

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"linkboy/cues/take"
)

// Roll writes down a take that begins, with its first event, which is made away
// from the caller. It gives the take with its id and, unless it has one, its number,
// and never waits.
func (j *Journal) Roll(t take.Take, first func() take.Event) (take.Take, take.Ack) {
	j.mu.Lock()
	t.ID = j.next
	j.next++
	key := [2]string{t.Scene, t.Slate}
	if t.Number == 0 {
		t.Number = j.numbers[key] + 1
	}
	j.numbers[key], j.latest = max(j.numbers[key], t.Number), key
	j.mu.Unlock()
	made := sync.OnceValue(first)
	return t, j.keep(0, func(ctx context.Context, tx *sql.Tx) error {
		if err := insertTake(ctx, tx, &t); err != nil {
			return err
		}
		return insertEvent(ctx, tx, t.ID, made())
	})
}

// Next gives the number that the next take of a slate has; of the slate that was
// last in use where scene and slate are both "". It never waits.
func (j *Journal) Next(scene, slate string) (string, string, int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	key := [2]string{scene, slate}
	if scene == "" && slate == "" {
		key = j.latest
	}
	return key[0], key[1], j.numbers[key] + 1
}

// keep asks for something that is tried until the disk takes it.
func (j *Journal) keep(of int64, do func(context.Context, *sql.Tx) error) take.Ack {
	ack, answer := take.NewAck()
	j.ask(&op{do: do, keep: true, take: of, done: answer})
	return ack
}

// Event writes down an event of a take that rolls; it is made away from the
// caller. It never waits; what finds no room is counted.
func (j *Journal) Event(id int64, event func() take.Event) {
	made := sync.OnceValue(event)
	j.ask(&op{keep: true, take: id, do: func(ctx context.Context, tx *sql.Tx) error { return insertEvent(ctx, tx, id, made()) }})
}

// Cut writes down that a take ends, with its last event. It never waits.
func (j *Journal) Cut(t take.Take, last func() take.Event) take.Ack {
	made := sync.OnceValue(last)
	return j.keep(t.ID, func(ctx context.Context, tx *sql.Tx) error {
		if err := insertEvent(ctx, tx, t.ID, made()); err != nil {
			return err
		}
		j.mu.Lock()
		lost := j.lost[t.ID]
		j.mu.Unlock()
		head, err := json.Marshal(headOf(&t))
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `UPDATE takes SET cut = ?, clip = ?, note = ?, circled = ?, head = ?, lost = ? WHERE id = ?`,
			t.Cut.UnixNano(), t.Clip, t.Note, t.Circled, string(head), lost, t.ID)
		return err
	})
}

func insertTake(ctx context.Context, tx *sql.Tx, t *take.Take) error {
	head, err := json.Marshal(headOf(t))
	if err != nil {
		return err
	}
	if err := free(ctx, tx, t.ID, t.Scene, t.Slate, t.Number); err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO takes (id, scene, slate, number, location, setup, clip, rolled, note, circled, head) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		t.ID, t.Scene, t.Slate, t.Number, t.Location, t.Setup, t.Clip, t.Rolled.UnixNano(), t.Note, t.Circled, string(head))
	return err
}

// free refuses a number that another take has.
func free(ctx context.Context, tx *sql.Tx, id int64, scene, slate string, number int) error {
	var other int64
	err := tx.QueryRowContext(ctx, `SELECT id FROM takes WHERE scene = ? AND slate = ? AND number = ? AND id <> ?`, scene, slate, number, id).Scan(&other)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	return &refusal{fmt.Errorf("%w: %s/%s/%d is take %d", take.ErrDoubled, scene, slate, number, other)}
}

func insertEvent(ctx context.Context, tx *sql.Tx, id int64, e take.Event) error {
	p, err := pack(&e)
	if err != nil {
		return err
	}
	rig, err := rigOf(ctx, tx, &p)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `INSERT INTO events (take, n, at, kind, rig, head, bytes, light) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
		id, e.N, e.At.UnixNano(), string(e.Kind), rig, p.head, p.bytes, p.light); err != nil {
		return err
	}
	if e.Look == "" {
		return nil
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO looks (look, take, n) VALUES (?, ?, ?) ON CONFLICT DO NOTHING`, e.Look, id, e.N)
	return err
}

// rigOf gives the id of the list of lamps of an event, written down once.
func rigOf(ctx context.Context, tx *sql.Tx, p *packedEvent) (int64, error) {
	var id int64
	err := tx.QueryRowContext(ctx, `SELECT id FROM rigs WHERE digest = ?`, p.digest).Scan(&id)
	if !errors.Is(err, sql.ErrNoRows) {
		return id, err
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO rigs (digest, lamps) VALUES (?, ?)`, p.digest, p.rig)
	if err != nil {
		return 0, err
	}
	return res.LastInsertId()
}

// endBroken ends the takes that were rolling when the daemon stopped: when it was
// last heard of.
func endBroken(ctx context.Context, c *sql.Conn) error {
	_, err := c.ExecContext(ctx, `UPDATE takes SET broken = 1,
		cut = coalesce((SELECT max(at) FROM events WHERE take = takes.id), rolled) WHERE cut IS NULL`)
	if err != nil {
		return fmt.Errorf("open journal: %w", err)
	}
	return nil
}

// count reads where the counts of takes have got to.
func (j *Journal) count(ctx context.Context, c *sql.Conn) error {
	rows, err := c.QueryContext(ctx, `SELECT scene, slate, max(number), max(id) FROM takes GROUP BY scene, slate`)
	if err != nil {
		return fmt.Errorf("open journal: %w", err)
	}
	defer rows.Close()
	j.mu.Lock()
	defer j.mu.Unlock()
	for rows.Next() {
		var key [2]string
		var number int
		var id int64
		if err := rows.Scan(&key[0], &key[1], &number, &id); err != nil {
			return fmt.Errorf("open journal: %w", err)
		}
		j.numbers[key] = number
		if id >= j.next {
			j.next, j.latest = id+1, key
		}
	}
	return rows.Err()
}

// changeWait is how long a change of a take may take: longer than the disk is busy
// with another.
const changeWait = 5 * time.Second
