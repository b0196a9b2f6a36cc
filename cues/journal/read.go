package journal

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"linkboy/cues/take"
)

// takeColumns are those that scanTake reads.
const takeColumns = `id, scene, slate, number, location, setup, clip, rolled, cut, broken, note, circled, lost, head,
	(SELECT count(*) FROM photos WHERE take = takes.id),
	coalesce((SELECT group_concat(look, char(31) ORDER BY n) FROM looks WHERE take = takes.id), '')`

// scanTake reads one row of takeColumns.
func scanTake(scan func(...any) error) (take.Take, error) {
	var t take.Take
	var rolled int64
	var cut sql.NullInt64
	var head, looks string
	if err := scan(&t.ID, &t.Scene, &t.Slate, &t.Number, &t.Location, &t.Setup, &t.Clip, &rolled, &cut, &t.Broken, &t.Note, &t.Circled, &t.Lost, &head, &t.Photos, &looks); err != nil {
		return t, err
	}
	t.Rolled = time.Unix(0, rolled)
	if cut.Valid {
		t.Cut = time.Unix(0, cut.Int64)
	}
	t.Looks = []string{}
	if looks != "" {
		t.Looks = strings.Split(looks, "\x1f")
	}
	var h takeHead
	if err := json.Unmarshal([]byte(head), &h); err != nil {
		return t, fmt.Errorf("take %d: %w", t.ID, err)
	}
	h.give(&t)
	return t, nil
}

// List gives the takes that a query finds, without their events, and how many
// there are on all pages.
func (j *Journal) List(ctx context.Context, q take.Query) ([]take.Take, int, error) {
	if err := j.Wait(ctx); err != nil {
		return nil, 0, err
	}
	where, args := conditions(&q)
	total := 0
	if err := j.read.QueryRowContext(ctx, "SELECT count(*) FROM takes"+where, args...).Scan(&total); err != nil {
		return nil, 0, fmt.Errorf("read takes: %w", err)
	}
	order := " ORDER BY rolled DESC, id DESC"
	if q.Oldest {
		order = " ORDER BY rolled, id"
	}
	limit := q.Limit
	if limit <= 0 {
		limit = take.DefaultLimit
	}
	// The page first, then its columns: else those of every row are worked out to be sorted.
	page := "SELECT id FROM takes" + where + order + " LIMIT ? OFFSET ?"
	rows, err := j.read.QueryContext(ctx, "SELECT "+takeColumns+" FROM takes WHERE id IN ("+page+")"+order, append(args, min(limit, take.MostLimit), max(q.Offset, 0))...)
	if err != nil {
		return nil, 0, fmt.Errorf("read takes: %w", err)
	}
	defer rows.Close()
	list := []take.Take{}
	for rows.Next() {
		t, err := scanTake(rows.Scan)
		if err != nil {
			return nil, 0, fmt.Errorf("read takes: %w", err)
		}
		list = append(list, t)
	}
	if err := rows.Err(); err != nil {
		return nil, 0, fmt.Errorf("read takes: %w", err)
	}
	if q.Came {
		if err := j.came(ctx, list); err != nil {
			return nil, 0, fmt.Errorf("read takes: %w", err)
		}
	}
	return list, total, nil
}

// came puts into takes when their looks came on.
func (j *Journal) came(ctx context.Context, list []take.Take) error {
	byID := make(map[int64]*take.Take, len(list))
	ids := make([]any, len(list))
	for i := range list {
		byID[list[i].ID], ids[i] = &list[i], list[i].ID
	}
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(ids)), ", ")
	rows, err := j.read.QueryContext(ctx, `SELECT take, at, coalesce(json_extract(head, '$.look'), ''), coalesce(json_extract(head, '$.cue'), 0)
		FROM events WHERE take IN (`+marks+`) AND kind IN ('roll', 'cue') ORDER BY take, n`, ids...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id, at int64
		var c take.Came
		if err := rows.Scan(&id, &at, &c.Look, &c.Cue); err != nil {
			return err
		}
		t := byID[id]
		c.AfterMS = time.Unix(0, at).Sub(t.Rolled).Milliseconds()
		t.Came = append(t.Came, c)
	}
	return rows.Err()
}

// conditions gives what a query asks of a row.
func conditions(q *take.Query) (string, []any) {
	var parts []string
	var args []any
	add := func(part string, value any) {
		parts, args = append(parts, part), append(args, value)
	}
	if q.Scene != "" {
		add("scene = ?", q.Scene)
	}
	if q.Slate != "" {
		add("slate = ?", q.Slate)
	}
	if q.Location != "" {
		add("location = ?", q.Location)
	}
	if q.Look != "" {
		add("EXISTS (SELECT 1 FROM looks WHERE look = ? AND take = takes.id)", q.Look)
	}
	if !q.Since.IsZero() {
		add("rolled >= ?", q.Since.UnixNano())
	}
	if !q.Until.IsZero() {
		add("rolled < ?", q.Until.UnixNano())
	}
	if q.Circled {
		add("circled = ?", 1)
	}
	if len(parts) == 0 {
		return "", nil
	}
	return " WHERE " + strings.Join(parts, " AND "), args
}

// Get gives a take with all its events. The error wraps take.ErrUnknown.
func (j *Journal) Get(ctx context.Context, id int64) (*take.Take, error) {
	if err := j.Wait(ctx); err != nil {
		return nil, err
	}
	t, err := scanTake(j.read.QueryRowContext(ctx, "SELECT "+takeColumns+" FROM takes WHERE id = ?", id).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, fmt.Errorf("%w: %d", take.ErrUnknown, id)
	}
	if err != nil {
		return nil, fmt.Errorf("read take %d: %w", id, err)
	}
	if t.Events, err = j.events(ctx, id); err != nil {
		return nil, fmt.Errorf("read take %d: %w", id, err)
	}
	return &t, nil
}

func (j *Journal) events(ctx context.Context, id int64) ([]take.Event, error) {
	rows, err := j.read.QueryContext(ctx, `SELECT n, at, head, lamps, bytes, light FROM events JOIN rigs ON rigs.id = rig WHERE take = ? ORDER BY n`, id)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []take.Event
	for rows.Next() {
		var n int
		var at int64
		var p packedEvent
		if err := rows.Scan(&n, &at, &p.head, &p.rig, &p.bytes, &p.light); err != nil {
			return nil, err
		}
		e, err := unpack(n, at, &p)
		if err != nil {
			return nil, err
		}
		list = append(list, e)
	}
	return list, rows.Err()
}

// Photos lists the photos of a take, without the pictures.
func (j *Journal) Photos(ctx context.Context, id int64) ([]take.Photo, error) {
	if err := j.Wait(ctx); err != nil {
		return nil, err
	}
	rows, err := j.read.QueryContext(ctx, `SELECT n, taken, width, height, length(jpeg) FROM photos WHERE take = ? ORDER BY n`, id)
	if err != nil {
		return nil, fmt.Errorf("read photos of take %d: %w", id, err)
	}
	defer rows.Close()
	list := []take.Photo{}
	for rows.Next() {
		var p take.Photo
		var taken int64
		if err := rows.Scan(&p.N, &taken, &p.Width, &p.Height, &p.Bytes); err != nil {
			return nil, fmt.Errorf("read photos of take %d: %w", id, err)
		}
		p.Taken = time.Unix(0, taken)
		list = append(list, p)
	}
	return list, rows.Err()
}

// Photo gives one photo of a take. The error wraps take.ErrUnknown.
func (j *Journal) Photo(ctx context.Context, id int64, n int) (take.Photo, error) {
	p := take.Photo{N: n}
	if err := j.Wait(ctx); err != nil {
		return p, err
	}
	var taken int64
	err := j.read.QueryRowContext(ctx, `SELECT taken, width, height, jpeg FROM photos WHERE take = ? AND n = ?`, id, n).Scan(&taken, &p.Width, &p.Height, &p.JPEG)
	if errors.Is(err, sql.ErrNoRows) {
		return p, fmt.Errorf("%w: photo %d of take %d", take.ErrUnknown, n, id)
	}
	if err != nil {
		return p, fmt.Errorf("read photo %d of take %d: %w", n, id, err)
	}
	p.Taken, p.Bytes = time.Unix(0, taken), len(p.JPEG)
	return p, nil
}
