package server

import (
	"context"
	"time"

	"github.com/gorilla/websocket"

	"linkboy/colour"
	"linkboy/cues/session"
)

// How often pages hear of the set.
const (
	// pushGap is the least time between two pushes of a kind: 25 a second.
	pushGap = 40 * time.Millisecond
	// heartbeat is the longest silence. A page that hears nothing for longer
	// tells its person that the link is lost.
	heartbeat = 400 * time.Millisecond
)

// pusher tells every page what changes. One goroutine owns it.
type pusher struct {
	s        *Server
	cells    []colour.XYZ
	spare    []byte // encoded cells, to compare with last
	last     []byte // cells as last pushed; nil when a page may not have them
	light    uint64 // version of the light in last
	revision uint32
	pushed   time.Time // when pages last heard the state
	behind   bool      // the state has changed since
	fading   bool
	seen     seenPusher
}

// push tells pages of the set until ctx ends: the state at once when it
// changes, at the full rate while a fade runs, and always before the silence
// grows too long.
func (s *Server) push(ctx context.Context) {
	changed, cancel := s.director.Subscribe()
	defer cancel()
	tick := time.NewTicker(pushGap)
	defer tick.Stop()
	flow := time.NewTicker(seenGap)
	defer flow.Stop()
	p := pusher{s: s, revision: s.director.State().Revision, seen: seenPusher{s: s}}
	for {
		select {
		case <-ctx.Done():
			return
		case <-changed:
			p.behind = true
			if time.Since(p.pushed) < pushGap {
				continue // the next tick is near
			}
			tick.Reset(pushGap)
		case <-s.hub.arrived:
			p.behind, p.last, p.seen.last = true, nil, nil // the newcomer has seen nothing yet
			if time.Since(p.pushed) < pushGap {
				continue // the next tick is near
			}
			tick.Reset(pushGap)
		case <-flow.C:
			p.seen.push()
			continue
		case <-tick.C:
		}
		p.beat()
	}
}

// beat pushes what is due now.
func (p *pusher) beat() {
	if p.s.hub.count() == 0 {
		return
	}
	// The next tick must not find that the silence has just become too long.
	if p.behind || p.fading || time.Since(p.pushed) > heartbeat-pushGap-pushGap/4 {
		p.pushState()
	}
	p.pushCells()
}

func (p *pusher) pushState() {
	st := p.s.state()
	m, err := p.s.encodeState(st)
	if err != nil {
		p.s.log.Error("state not pushed", "error", err)
		return
	}
	p.behind, p.pushed = false, time.Now()
	p.fading = st.Fade != nil && !st.Held
	if st.Revision != p.revision {
		p.revision = st.Revision
		p.last, p.seen.last = nil, nil // the same light is that of other cells now
		p.pushPlan()
	}
	p.s.hub.publish(slotState, m)
}

func (p *pusher) pushPlan() {
	m := p.s.pushes.get(websocket.TextMessage)
	var err error
	m.data, err = appendPushJSON(m.data, struct {
		Type     string `json:"type"`
		Revision uint32 `json:"revision"`
	}{"plan", p.revision})
	if err != nil {
		p.s.log.Error("plan not announced", "error", err)
		m.release()
		return
	}
	p.s.hub.publish(slotPlan, m)
}

// pushCells pushes the light of the cells when it has changed.
func (p *pusher) pushCells() {
	light := p.s.director.LightVersion() // before the cells: what comes in between is pushed next time
	if p.last != nil && light == p.light {
		return
	}
	var whole bool
	p.spare, p.cells, whole = p.s.appendLight(p.spare[:0], p.cells)
	if !whole {
		return
	}
	p.light = light
	if sameCells(p.spare, p.last) {
		return
	}
	p.spare, p.last = p.last, p.spare
	m := p.s.pushes.get(websocket.BinaryMessage)
	m.data = append(m.data, p.last...)
	p.s.hub.publish(slotCells, m)
}

// appendLight appends the light of now to b as a cells frame. scratch is
// re-used and given back. whole is false when the plan changed meanwhile: the
// cells may be those of either plan.
func (s *Server) appendLight(b []byte, scratch []colour.XYZ) (frame []byte, cells []colour.XYZ, whole bool) {
	st := s.director.State()
	cells = s.director.Cells(scratch)
	if s.director.State().Revision != st.Revision {
		return b, cells, false
	}
	return appendCells(b, st.Revision, st.Output.Frames, cells), cells, true
}

func (s *Server) encodeState(st session.State) (*push, error) {
	m := s.pushes.get(websocket.TextMessage)
	var err error
	m.data, err = appendPushJSON(m.data, struct {
		Type  string        `json:"type"`
		State session.State `json:"state"`
	}{"state", st})
	if err != nil {
		m.release()
		return nil, err
	}
	return m, nil
}
