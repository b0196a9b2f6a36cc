package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"net/http"
	"strconv"

	"linkboy/cues/stage"
)

// Haze computes what haze gives the picture of a set-up of the location that is on, "" for
// the one that is chosen, when it takes a share, over 0 and at most stage.HazeMost, of the
// light on 10 m of its way. It may be called from any goroutine, and may take seconds.
type Haze func(ctx context.Context, setup string, share float64) (Air, error)

// Air is what haze gives a picture.
type Air struct {
	// Hash names it: the same hash is the same air, on any day.
	Hash string
	// Packed is a light map, in the form of colour/transport, of the blocks of the picture,
	// in gzip. It is not changed.
	Packed []byte
}

// getHaze is GET /api/haze?setup=NAME&share=0.1.
func (s *Server) getHaze(w http.ResponseWriter, r *http.Request) {
	if s.cfg.Haze == nil {
		s.refuse(w, r, &Problem{http.StatusNotFound, codeNoLight, "no haze is computed here", "/api/haze", "the picture of clear air needs none"})
		return
	}
	q := r.URL.Query()
	if p := onlyFields(q, "setup", "share"); p != nil {
		s.refuse(w, r, p)
		return
	}
	share, err := strconv.ParseFloat(q.Get("share"), 64)
	if err != nil || !(share > 0 && share <= stage.HazeMost) {
		s.refuse(w, r, badValue("share", strconv.Quote(q.Get("share")), fmt.Sprintf("over 0 and at most %g", stage.HazeMost),
			"give the share of light that haze takes on 10 m of its way, such as share=0.1"))
		return
	}
	a, err := s.cfg.Haze(r.Context(), q.Get("setup"), share)
	switch {
	case r.Context().Err() != nil: // nobody waits any more
	case err != nil:
		s.refuse(w, r, err)
	case takesGzip(r):
		sendKept(w, r, a.Hash, a.Packed, true)
	default:
		plain, err := unpacked(a.Packed)
		if err != nil {
			s.refuse(w, r, fmt.Errorf("haze cannot be unpacked: %w", err))
			return
		}
		sendKept(w, r, a.Hash, plain, false)
	}
}

func unpacked(packed []byte) ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}
