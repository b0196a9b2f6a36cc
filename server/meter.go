package server

import (
	"bytes"
	"context"
	"net/http"
	"time"

	"github.com/gorilla/websocket"
)

// Meter reads the light that is on by the bytes on the wire, or that of a look once it
// has settled; from a set-up, "" for the one that is chosen. What it gives is sent as
// JSON. patient says that who asks will wait for what takes long to find out. It may be
// called from any goroutine.
type Meter func(look, setup string, patient bool) (any, error)

// meterGap is the least time between two readings that are pushed: 4 a second, as people
// read no faster.
const meterGap = 250 * time.Millisecond

// watchVerb has a page pushed what the meter reads, or not any more. It is a matter of
// the page's link, not of the set.
const watchVerb = "watch"

// getMeter is GET /api/meter?look=NAME&setup=NAME.
func (s *Server) getMeter(w http.ResponseWriter, r *http.Request) {
	if s.cfg.Meter == nil {
		s.refuse(w, r, noMeter)
		return
	}
	q := r.URL.Query()
	if p := onlyFields(q, "look", "setup"); p != nil {
		s.refuse(w, r, p)
		return
	}
	report, err := s.cfg.Meter(q.Get("look"), q.Get("setup"), true)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, report)
}

var noMeter = &Problem{http.StatusNotFound, codeNoLight, "no light is computed here, so there is nothing to meter", "/api/meter", "see what is on at /api/state"}

// watch does the verb of a page that wants to be pushed readings, or none any more.
func (s *Server) watch(c *client, f *fields) *Problem {
	on := f.flag("meter")
	if p := f.problem(); p != nil {
		return p
	}
	if on == nil {
		return missing("meter", `{"verb": "watch", "meter": true}`)
	}
	if *on && s.cfg.Meter == nil {
		return noMeter
	}
	c.watches.Store(*on)
	if *on {
		s.hub.look()
	}
	return nil
}

// look says that somebody wants to see what was pushed last.
func (h *hub) look() {
	select {
	case h.looks <- struct{}{}:
	default:
	}
}

// watched tells whether any page watches the meter.
func (h *hub) watched() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.clients {
		if c.watches.Load() {
			return true
		}
	}
	return false
}

// publishWatched offers m to the pages that watch the meter, and lets go of it.
func (h *hub) publishWatched(slot int, m *push) {
	h.mu.Lock()
	for c := range h.clients {
		if c.watches.Load() {
			c.offer(slot, m)
		}
	}
	h.mu.Unlock()
	m.release()
}

// pushMeter pushes readings to the pages that watch, until ctx ends. It has a goroutine
// of its own, as the first reading of a place takes long.
func (s *Server) pushMeter(ctx context.Context) {
	if s.cfg.Meter == nil {
		return
	}
	tick := time.NewTicker(meterGap)
	defer tick.Stop()
	var last []byte
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if !s.hub.watched() {
			last = nil
			continue
		}
		select {
		case <-s.hub.looks: // by somebody who has seen nothing yet
			last = nil
		default:
		}
		last = s.pushReading(last)
	}
}

// meterPush is what a page that watches is pushed: no meter while there is no reading.
type meterPush struct {
	Type  string `json:"type"`
	Meter any    `json:"meter"`
}

// pushReading pushes what the meter reads now, if that is not the last it has pushed, and
// gives what it has pushed last.
func (s *Server) pushReading(last []byte) []byte {
	report, err := s.cfg.Meter("", "", false)
	if err != nil { // such as light that is being computed; the state says so
		report = nil
	}
	m := s.pushes.get(websocket.TextMessage)
	if m.data, err = appendPushJSON(m.data, meterPush{"meter", report}); err != nil {
		s.log.Error("reading not pushed", "error", err)
		m.release()
		return last
	}
	if bytes.Equal(m.data, last) {
		m.release()
		return last
	}
	last = append(last[:0], m.data...)
	s.hub.publishWatched(slotMeter, m)
	return last
}
