package take

import (
	"context"
	"fmt"
	"time"
)

// Reader gives takes that are written down.
type Reader interface {
	List(ctx context.Context, q Query) ([]Take, int, error)
	Get(ctx context.Context, id int64) (*Take, error)
}

// All gives every take that a query finds, with its events but without what the lamps
// had, the oldest first.
func All(ctx context.Context, from Reader, q Query) ([]Take, error) {
	q.Oldest, q.Limit, q.Offset = true, MostLimit, 0
	var all []Take
	for {
		page, total, err := from.List(ctx, q)
		if err != nil {
			return nil, err
		}
		for i := range page {
			t, err := from.Get(ctx, page[i].ID)
			if err != nil {
				return nil, err
			}
			for k := range t.Events {
				t.Events[k].Lamps = nil
			}
			all = append(all, *t)
		}
		q.Offset += len(page)
		if len(page) == 0 || q.Offset >= total {
			return all, nil
		}
	}
}

// ParseDay reads a day, which begins at its midnight there, or a moment (RFC 3339).
func ParseDay(text string, there *time.Location) (time.Time, error) {
	if at, err := time.ParseInLocation(time.DateOnly, text, there); err == nil {
		return at, nil
	}
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return at, fmt.Errorf("%q is no day and no moment", text)
	}
	return at, nil
}
