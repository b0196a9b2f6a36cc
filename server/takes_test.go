package server_test

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/take"
	"linkboy/server"
)

// shelf is a journal of a few takes; it keeps the query that it was asked.
type shelf struct {
	query  take.Query
	photos []take.Photo
}

func (s *shelf) List(_ context.Context, q take.Query) ([]take.Take, int, error) {
	s.query = q
	return []take.Take{shelved(1)}, 1, nil
}

func (s *shelf) Get(_ context.Context, id int64) (*take.Take, error) {
	if id != 1 {
		return nil, fmt.Errorf("%w: %d", take.ErrUnknown, id)
	}
	t := shelved(1)
	return &t, nil
}

func (s *shelf) Photos(ctx context.Context, id int64) ([]take.Photo, error) {
	if _, err := s.Get(ctx, id); err != nil {
		return nil, err
	}
	return append([]take.Photo{}, s.photos...), nil
}

func (s *shelf) Photo(ctx context.Context, id int64, n int) (take.Photo, error) {
	if id != 1 || n < 1 || n > len(s.photos) {
		return take.Photo{}, fmt.Errorf("%w: photo %d", take.ErrUnknown, n)
	}
	return s.photos[n-1], nil
}

func (s *shelf) AddPhoto(_ context.Context, _ int64, p take.Photo) (int, error) {
	p.N = len(s.photos) + 1
	s.photos = append(s.photos, p)
	return p.N, nil
}

func shelved(id int64) take.Take {
	at := time.Date(2026, 11, 27, 21, 30, 0, 0, time.UTC)
	return take.Take{
		ID: id, Scene: "012", Slate: "A", Number: 3, Location: "deep-end", Camera: take.Camera{FPS: 24, Timeline: 24},
		Rolled: at, Cut: at.Add(10 * time.Second), From: take.Timecode{Day: "21:30:00:00"}, To: take.Timecode{Day: "21:30:10:00"},
		Looks: []string{"warden"}, Events: []take.Event{{N: 1, At: at, Kind: take.Roll, Look: "warden", Timecode: take.Timecode{Day: "21:30:00:00"}}},
	}
}

func takesServer(t testing.TB, takes *shelf) *server.Server {
	return newServer(t, newFake(), func(c *server.Config) {
		c.Takes = takes
		c.Photo = func(_ context.Context, b []byte) (take.Photo, error) {
			if string(b) == "broken" {
				return take.Photo{}, &server.PhotoError{Why: "it cannot be read", Mend: "send another"}
			}
			return take.Photo{Width: 4, Height: 3, Bytes: len(b), JPEG: b}, nil
		}
	})
}

func TestTakesAreListedAndLookedFor(t *testing.T) {
	takes := &shelf{}
	s := takesServer(t, takes)
	w := get(s, "/api/takes?scene=012&slate=A&look=low%20tide&location=deep-end&since=2026-11-27T21:00:00%2B01:00&circled=1&limit=5&offset=10")
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	var list struct {
		Takes []map[string]any
		Total int
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &list))
	require.Equal(t, 1, list.Total)
	require.Equal(t, "012", list.Takes[0]["scene"])
	require.Equal(t, take.Query{
		Scene: "012", Slate: "A", Look: "low tide", Location: "deep-end", Circled: true, Came: true, Limit: 5, Offset: 10,
		Since: takes.query.Since,
	}, takes.query)
	require.True(t, takes.query.Since.Equal(time.Date(2026, 11, 27, 20, 0, 0, 0, time.UTC)))

	w = get(s, "/api/takes/1")
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, w.Body.String(), `"kind":"roll"`)
	w = get(s, "/api/takes/1/differs?event=4")
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, w.Body.String(), `"stops":-0.5`)
	require.Contains(t, w.Body.String(), `"cell":4`, "the event is handed on")
}

func TestTakesLeaveAsListsOfOtherPrograms(t *testing.T) {
	s := takesServer(t, &shelf{})
	w := get(s, "/api/takes?form=csv")
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, "text/csv; charset=utf-8; header=present", w.Header().Get("Content-Type"))
	require.Equal(t, `attachment; filename="takes.csv"`, w.Header().Get("Content-Disposition"))
	rows, err := csv.NewReader(w.Body).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	for form, begins := range map[string]string{"edl": "TITLE: Tidewater\nFCM: NON-DROP FRAME\n001  012AT3", "tab": "Heading\n"} {
		w = get(s, "/api/takes?form="+form)
		require.Equal(t, http.StatusOK, w.Code)
		require.True(t, strings.HasPrefix(w.Body.String(), begins), w.Body)
	}
}

func TestTakeRefusals(t *testing.T) {
	s := takesServer(t, &shelf{})
	for _, c := range []struct {
		path   string
		status int
		code   string
	}{
		{"/api/takes?scen=1", 400, "unknown-field"}, {"/api/takes?since=yesterday", 400, "bad-value"}, {"/api/takes?limit=-1", 400, "bad-value"},
		{"/api/takes?form=pdf", 400, "bad-value"}, {"/api/takes/x", 400, "bad-value"}, {"/api/takes/0", 400, "bad-value"}, {"/api/takes/9", 404, "unknown-take"},
		{"/api/takes/9/differs", 404, "unknown-take"}, {"/api/takes/1/differs?event=x", 400, "bad-value"}, {"/api/takes/9/photos", 404, "unknown-take"},
		{"/api/takes/1/photos/1", 404, "unknown-take"},
	} {
		w := get(s, c.path)
		require.Equal(t, c.status, w.Code, c.path)
		code, _, _, mend := problemOf(t, w)
		require.Equal(t, c.code, code, c.path)
		require.NotEmpty(t, mend, c.path)
	}
	w := get(newServer(t, newFake()), "/api/takes")
	require.Equal(t, http.StatusNotFound, w.Code)
	code, _, _, _ := problemOf(t, w)
	require.Equal(t, "no-takes", code)
}

func TestPhotosOfATake(t *testing.T) {
	takes := &shelf{}
	s := takesServer(t, takes)
	send := func(path, kind, body string) int {
		return ask(s, call{method: "POST", path: path, body: body, header: map[string]string{"Content-Type": kind}}).Code
	}
	require.Equal(t, http.StatusCreated, send("/api/takes/1/photos", "image/jpeg", "picture"))
	require.Equal(t, http.StatusUnsupportedMediaType, send("/api/takes/1/photos", "image/webp", "picture"))
	require.Equal(t, http.StatusBadRequest, send("/api/takes/1/photos", "image/png", "broken"))
	require.Equal(t, http.StatusNotFound, send("/api/takes/2/photos", "image/png", "picture"))
	require.Equal(t, http.StatusRequestEntityTooLarge, send("/api/takes/1/photos", "image/png", strings.Repeat("x", 17<<20)))
	require.Len(t, takes.photos, 1)
	require.False(t, takes.photos[0].Taken.IsZero())

	w := get(s, "/api/takes/1/photos")
	require.Contains(t, w.Body.String(), `"width":4`)
	w = get(s, "/api/takes/1/photos/1")
	require.Equal(t, "image/jpeg", w.Header().Get("Content-Type"))
	require.Equal(t, "picture", w.Body.String())
}
