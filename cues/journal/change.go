package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"linkboy/cues/take"
)

// MostPhotos is how many photos a take can have.
const MostPhotos = 20

// now asks for something that is done at once or not at all.
func (j *Journal) now(ctx context.Context, do func(context.Context, *sql.Tx) error) error {
	if err := j.Wait(ctx); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, changeWait)
	defer cancel()
	ack, answer := take.NewAck()
	j.ask(&op{do: do, done: answer})
	return ack.Wait(ctx)
}

// Change puts a take right. The error wraps take.ErrUnknown or take.ErrDoubled.
func (j *Journal) Change(ctx context.Context, id int64, c take.Change) error {
	return j.now(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var t take.Take
		err := tx.QueryRowContext(ctx, `SELECT scene, slate, number, note, clip, circled FROM takes WHERE id = ?`, id).
			Scan(&t.Scene, &t.Slate, &t.Number, &t.Note, &t.Clip, &t.Circled)
		if err != nil {
			return unknown(err, id)
		}
		put(&t.Scene, c.Scene)
		put(&t.Slate, c.Slate)
		put(&t.Number, c.Number)
		put(&t.Note, c.Note)
		put(&t.Clip, c.Clip)
		put(&t.Circled, c.Circled)
		if err := free(ctx, tx, id, t.Scene, t.Slate, t.Number); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `UPDATE takes SET scene = ?, slate = ?, number = ?, note = ?, clip = ?, circled = ? WHERE id = ?`,
			t.Scene, t.Slate, t.Number, t.Note, t.Clip, t.Circled, id); err != nil {
			return err
		}
		return j.recount(ctx, tx, t.Scene, t.Slate)
	})
}

func put[T any](to *T, from *T) {
	if from != nil {
		*to = *from
	}
}

// recount takes the highest number of a slate as it is now: the next take follows it.
func (j *Journal) recount(ctx context.Context, tx *sql.Tx, scene, slate string) error {
	var number int
	if err := tx.QueryRowContext(ctx, `SELECT max(number) FROM takes WHERE scene = ? AND slate = ?`, scene, slate).Scan(&number); err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.numbers[[2]string{scene, slate}] = number
	return nil
}

// unknown refuses an id that is not there.
func unknown(err error, id int64) error {
	if errors.Is(err, sql.ErrNoRows) {
		return &refusal{fmt.Errorf("%w: %d", take.ErrUnknown, id)}
	}
	return err
}

// AddPhoto puts a picture to a take and gives its number. The error wraps
// take.ErrUnknown or take.ErrPhotos.
func (j *Journal) AddPhoto(ctx context.Context, id int64, p take.Photo) (int, error) {
	n := 0
	err := j.now(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var there int
		if err := tx.QueryRowContext(ctx, `SELECT count(*) FROM takes WHERE id = ?`, id).Scan(&there); err != nil {
			return err
		}
		if there == 0 {
			return unknown(sql.ErrNoRows, id)
		}
		if err := tx.QueryRowContext(ctx, `SELECT count(*), coalesce(max(n), 0) + 1 FROM photos WHERE take = ?`, id).Scan(&there, &n); err != nil {
			return err
		}
		if there >= MostPhotos {
			return &refusal{take.ErrPhotos}
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO photos (take, n, taken, width, height, jpeg) VALUES (?, ?, ?, ?, ?, ?)`,
			id, n, p.Taken.UnixNano(), p.Width, p.Height, p.JPEG)
		return err
	})
	return n, err
}
