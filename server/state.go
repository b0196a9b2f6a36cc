package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"linkboy/cues/session"
)

// NodeInfo is one node on the lamps' network as pages see it.
type NodeInfo = session.Node

// state is what pages are told now: what runs, and what the network says.
func (s *Server) state() session.State {
	st := s.director.State()
	st.Nodes = s.nodes()
	st.Light = s.light()
	if s.cfg.Files != nil {
		st.Files = new(s.cfg.Files())
	}
	if s.cfg.Editor != nil {
		list := s.cfg.Editor.Edits()
		st.Edits = &session.Edits{Revision: list.Revision, Undo: len(list.Undo), Redo: len(list.Redo)}
	}
	// What belongs to the director is not appended to.
	st.Warnings = append(make([]session.Warning, 0, len(st.Warnings)), st.Warnings...)
	st.Warnings = append(st.Warnings, fileWarnings(st.Files)...)
	if s.cfg.Warnings != nil && !st.Dry && time.Since(s.started) > pollTime {
		st.Warnings = append(st.Warnings, s.cfg.Warnings(s.ports.get(s.director))...)
	}
	return st
}

// nodes gives the nodes known, never nil: pages count them.
func (s *Server) nodes() []NodeInfo {
	if s.cfg.Nodes == nil {
		return []NodeInfo{}
	}
	nodes := append([]NodeInfo{}, s.cfg.Nodes()...)
	for i := range nodes {
		if nodes[i].Ports == nil {
			nodes[i].Ports = []string{}
		}
	}
	return nodes
}

// ports remembers for a while which port-addresses the director fills: to ask
// means to copy all their slots, and the state is told 25 times a second. It
// is safe for concurrent use.
type ports struct {
	mu        sync.Mutex
	addresses []uint16
	asked     time.Time
}

// portsFresh is how long the port-addresses are taken to be the same.
const portsFresh = time.Second

// get gives the port-addresses; the caller must not change them.
func (p *ports) get(d Director) []uint16 {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.asked.IsZero() || time.Since(p.asked) > portsFresh {
		p.addresses, _ = d.Frames()
		p.asked = time.Now()
	}
	return p.addresses
}

// pollTime is how long nodes have for their first answer: a poll comes every
// 2.5 to 3 s, and a node may take 1 s to answer it (Art-Net 4, ArtPoll).
const pollTime = 4 * time.Second

// portText writes a 15-bit port-address as net:sub-net:universe (Art-Net 4,
// Port-Address).
func portText(address uint16) string {
	return fmt.Sprintf("%d:%d:%d", address>>8&0x7f, address>>4&0xf, address&0xf)
}

// appendPushJSON appends the JSON of a push to b.
func appendPushJSON(b []byte, body any) ([]byte, error) {
	buf := bytes.NewBuffer(b)
	enc := json.NewEncoder(buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(body); err != nil {
		return b, fmt.Errorf("push cannot be encoded: %w", err)
	}
	return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), nil
}
