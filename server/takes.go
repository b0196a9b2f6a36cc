package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"linkboy/cues/take"
)

// Takes are the takes that are written down. Every method may be called from any
// goroutine; an unknown take gives an error that wraps take.ErrUnknown.
type Takes interface {
	List(ctx context.Context, q take.Query) ([]take.Take, int, error)
	Get(ctx context.Context, id int64) (*take.Take, error)
	Photos(ctx context.Context, id int64) ([]take.Photo, error)
	Photo(ctx context.Context, id int64, n int) (take.Photo, error)
	AddPhoto(ctx context.Context, id int64, p take.Photo) (int, error)
}

// PhotoError is a picture that cannot be taken in.
type PhotoError struct{ Why, Mend string }

// Error is the reason.
func (e *PhotoError) Error() string { return e.Why }

// maxPhotoBytes is the largest photo that is read: what phones of today make of one
// picture, twice.
const maxPhotoBytes = 16 << 20

// readTakesWait is how long a list may take.
const readTakesWait = answerWait - 5*time.Second

// takesOf gives the takes, or refuses where none are written down.
func (s *Server) takesOf() (Takes, error) {
	if s.cfg.Takes == nil {
		return nil, &Problem{http.StatusNotFound, codeNoTakes, "takes are not written down here", "/api/takes", "run a show from its folder: linkboy serve SHOW"}
	}
	return s.cfg.Takes, nil
}

// takeProblem turns an error of the journal into what the outside sees.
func takeProblem(err error) error {
	switch {
	case errors.Is(err, take.ErrUnknown):
		return &Problem{http.StatusNotFound, "unknown-take", err.Error(), "id", "see the takes there are at /api/takes"}
	case errors.Is(err, take.ErrPhotos):
		return &Problem{http.StatusConflict, codeBadPhoto, err.Error(), "id", "put it to the next take"}
	case errors.Is(err, take.ErrNotReady):
		return &Problem{http.StatusServiceUnavailable, codeNoTakes, "the journal of takes cannot be read: " + err.Error(), "/api/takes", "see the warnings in /api/state"}
	}
	return err
}

// listed is one page of takes.
type listed struct {
	Takes []take.Take `json:"takes"`
	Total int         `json:"total"` // on all pages
}

// getTakes is GET /api/takes?scene=&slate=&look=&location=&since=&until=&circled=1&limit=&offset=:
// a page of them, the newest first; with form=csv, edl or tab all of them as a list.
func (s *Server) getTakes(w http.ResponseWriter, r *http.Request) {
	takes, err := s.takesOf()
	var q take.Query
	var form take.Form
	if err == nil {
		q, form, err = readQuery(r.URL.Query())
	}
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), readTakesWait)
	defer cancel()
	if form.Write != nil {
		s.exportTakes(ctx, w, r, takes, q, form)
		return
	}
	q.Came = true
	list, total, err := takes.List(ctx, q)
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	writeJSON(w, http.StatusOK, listed{list, total})
}

// exportTakes answers with a list for other programs.
func (s *Server) exportTakes(ctx context.Context, w http.ResponseWriter, r *http.Request, takes Takes, q take.Query, form take.Form) {
	list, err := take.All(ctx, takes, q)
	var out strings.Builder
	st := s.director.State()
	if err == nil {
		err = form.Write(&out, st.Title, list)
	}
	if tooMany, ok := errors.AsType[*take.TooManyError](err); ok {
		err = &Problem{http.StatusConflict, codeNoTakes, tooMany.Error(), "form", "ask for one scene at a time: ?form=edl&scene=12"}
	}
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	w.Header().Set("Content-Type", form.Media)
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="takes.%s"`, form.Name))
	w.Header().Set("Content-Length", strconv.Itoa(out.Len()))
	w.WriteHeader(http.StatusOK)
	_, _ = io.WriteString(w, out.String())
}

// queryFields are those of a search.
var queryFields = []string{"scene", "slate", "look", "location", "since", "until", "circled", "limit", "offset", "form"}

// readQuery reads a search.
func readQuery(v url.Values) (take.Query, take.Form, error) {
	var q take.Query
	var form take.Form
	for name := range v {
		if !slices.Contains(queryFields, name) {
			return q, form, &Problem{http.StatusBadRequest, codeUnknownField, fmt.Sprintf("takes are not looked for by %q%s", name, hint(name, queryFields)), name, mendWords(name, queryFields)}
		}
	}
	q.Scene, q.Slate, q.Look, q.Location = v.Get("scene"), v.Get("slate"), v.Get("look"), v.Get("location")
	q.Circled = v.Get("circled") == "1" || v.Get("circled") == "true"
	for _, f := range []struct {
		name string
		to   *time.Time
	}{{"since", &q.Since}, {"until", &q.Until}} {
		if text := v.Get(f.name); text != "" {
			at, err := take.ParseDay(text, time.Local)
			if err != nil {
				return q, form, &Problem{http.StatusBadRequest, codeBadValue, err.Error(), f.name, "write a day or a moment like 2026-11-27 or 2026-11-27T21:30:00+01:00"}
			}
			*f.to = at
		}
	}
	for _, f := range []struct {
		name string
		to   *int
	}{{"limit", &q.Limit}, {"offset", &q.Offset}} {
		if text := v.Get(f.name); text != "" {
			n, err := strconv.Atoi(text)
			if err != nil || n < 0 {
				return q, form, badValue(f.name, strconv.Quote(text), "a whole number of 0 or more", f.name+"=50")
			}
			*f.to = n
		}
	}
	if name := v.Get("form"); name != "" && name != "json" {
		known := false
		if form, known = take.FormNamed(name); !known {
			return q, form, badValue("form", strconv.Quote(name), "csv, edl, tab or json", "form=csv")
		}
	}
	return q, form, nil
}

// takeID reads the id in a path.
func takeID(r *http.Request, name string) (int64, error) {
	n, err := strconv.ParseInt(r.PathValue(name), 10, 64)
	if err != nil || n < 1 {
		return 0, badValue(name, strconv.Quote(r.PathValue(name)), "a whole number of 1 or more", "see the takes there are at /api/takes")
	}
	return n, nil
}

// getTake is GET /api/takes/{id}: a take with every event and what the lamps had.
func (s *Server) getTake(w http.ResponseWriter, r *http.Request) {
	takes, err := s.takesOf()
	var id int64
	if err == nil {
		id, err = takeID(r, "id")
	}
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), readTakesWait)
	defer cancel()
	t, err := takes.Get(ctx, id)
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	writeJSON(w, http.StatusOK, t)
}

// getTakeDiffers is GET /api/takes/{id}/differs?event=: what of the set is another than
// in the take, the worst first.
func (s *Server) getTakeDiffers(w http.ResponseWriter, r *http.Request) {
	id, err := takeID(r, "id")
	event := 0
	if text := r.URL.Query().Get("event"); err == nil && text != "" {
		if event, err = strconv.Atoi(text); err != nil || event < 1 {
			err = badValue("event", strconv.Quote(text), "a whole number of 1 or more", "event=1 is at roll")
		}
	}
	var list []take.Difference
	if err == nil {
		list, err = s.director.TakeDiffers(id, event)
	}
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, struct {
		NearStops   float64           `json:"near_stops"`
		NearDeltaUV float64           `json:"near_delta_uv"`
		Lamps       []take.Difference `json:"lamps"`
	}{take.NearStops, take.NearDeltaUV, list})
}

// getPhotos is GET /api/takes/{id}/photos.
func (s *Server) getPhotos(w http.ResponseWriter, r *http.Request) {
	takes, err := s.takesOf()
	var list []take.Photo
	if err == nil {
		var id int64
		if id, err = takeID(r, "id"); err == nil {
			list, err = takes.Photos(r.Context(), id)
		}
	}
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	writeJSON(w, http.StatusOK, struct {
		Photos []take.Photo `json:"photos"`
	}{list})
}

// getPhoto is GET /api/takes/{id}/photos/{n}: one picture.
func (s *Server) getPhoto(w http.ResponseWriter, r *http.Request) {
	takes, err := s.takesOf()
	var p take.Photo
	if err == nil {
		var id, n int64
		if id, err = takeID(r, "id"); err == nil {
			n, err = takeID(r, "n")
		}
		if err == nil {
			p, err = takes.Photo(r.Context(), id, int(min(n, 1<<30)))
		}
	}
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Cache-Control", "private, max-age=86400") // a photo is never changed
	h.Set("Content-Length", strconv.Itoa(len(p.JPEG)))
	w.WriteHeader(http.StatusOK)
	_, _ = w.Write(p.JPEG)
}

// postPhoto is POST /api/takes/{id}/photos with a JPEG or PNG as the body.
func (s *Server) postPhoto(w http.ResponseWriter, r *http.Request) {
	takes, err := s.takesOf()
	if err == nil && s.cfg.Photo == nil {
		err = &Problem{http.StatusConflict, codeBadPhoto, "photos are not taken in here", r.URL.Path, "keep them with the notes of the take"}
	}
	var id int64
	if err == nil {
		id, err = takeID(r, "id")
	}
	var n int
	if err == nil {
		n, err = s.addPhoto(w, r, takes, id)
	}
	if err != nil {
		s.refuse(w, r, takeProblem(err))
		return
	}
	writeJSON(w, http.StatusCreated, struct {
		OK bool `json:"ok"`
		N  int  `json:"n"`
	}{true, n})
}

func (s *Server) addPhoto(w http.ResponseWriter, r *http.Request, takes Takes, id int64) (int, error) {
	if kind := mediaType(r); kind != "image/jpeg" && kind != "image/png" {
		return 0, &Problem{http.StatusUnsupportedMediaType, codeContentType, fmt.Sprintf("the photo is %q", r.Header.Get("Content-Type")), "Content-Type", "send it as image/jpeg or image/png"}
	}
	if _, err := takes.Photos(r.Context(), id); err != nil { // before its bytes are read
		return 0, err
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxPhotoBytes))
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return 0, &Problem{http.StatusRequestEntityTooLarge, codeTooLarge, fmt.Sprintf("the photo is larger than %d MB", tooLarge.Limit>>20), "body", "send a smaller picture"}
	}
	if err != nil {
		return 0, &Problem{http.StatusBadRequest, codeBadPhoto, "the photo broke off", "body", "send it again"}
	}
	ctx, cancel := context.WithTimeout(r.Context(), readTakesWait)
	defer cancel()
	p, err := s.cfg.Photo(ctx, body)
	if bad, ok := errors.AsType[*PhotoError](err); ok {
		return 0, &Problem{http.StatusBadRequest, codeBadPhoto, bad.Why, "body", bad.Mend}
	}
	if err != nil {
		return 0, err
	}
	p.Taken = time.Now()
	return takes.AddPhoto(ctx, id, p)
}
