package server

import (
	"context"
	"encoding/json"
	"net"
	"time"

	"linkboy/colour"
	"linkboy/colour/camera"
)

// Serve runs s on a listener of the test's own.
func (s *Server) Serve(ctx context.Context, l net.Listener) error { return s.serve(ctx, l) }

// SetWriteWait shortens the time that a write may hang.
func (s *Server) SetWriteWait(d time.Duration) { s.writeWait = d }

// Clients gives how many pages are connected.
func (s *Server) Clients() int { return s.hub.count() }

// Routes lists the paths that are answered, by path, with their methods.
func (s *Server) Routes() map[string][]string {
	all := map[string][]string{}
	for _, rt := range s.routes() {
		for method := range rt.does {
			all[rt.path] = append(all[rt.path], method)
		}
	}
	return all
}

// Limits that tests hold the server to.
const (
	MaxMessageBytes   = maxMessageBytes
	MaxBodyBytes      = maxBodyBytes
	MaxClients        = maxClients
	MaxAnswers        = maxAnswers
	MaxBadInARow      = maxBadInARow
	MessagesPerSecond = messagesPerSecond
	MessagesAtOnce    = messagesAtOnce
	WriteWait         = writeWait
	ReadWait          = readWait
	ByeWait           = byeWait
	CodeLetters       = codeLetters
	FreeGuesses       = freeGuesses
	GuessesAtOnce     = guessesAtOnce
)

var NewCode = newCode

// Message is a websocket message as its parser sees it.
type Message struct {
	ID, Verb string
	Names    []string
	Values   map[string]json.RawMessage
}

// ParseMessage reads a message.
func ParseMessage(text []byte) (Message, error) {
	m, p := parseMessage(text)
	if p != nil {
		return Message{}, p
	}
	return Message{string(m.ID), m.Verb, m.Fields.names, m.Fields.values}, nil
}

// AppendMessage writes m as ParseMessage reads it.
func AppendMessage(b []byte, m Message) ([]byte, error) {
	b = append(b, '{')
	for i, name := range m.Names {
		if i > 0 {
			b = append(b, ',')
		}
		quoted, err := json.Marshal(name)
		if err != nil {
			return nil, err
		}
		b = append(append(append(b, quoted...), ':'), m.Values[name]...)
	}
	return append(b, '}'), nil
}

// AppendCells is the encoder of cells frames.
func AppendCells(b []byte, revision uint32, frame uint64, cells []colour.XYZ) []byte {
	return appendCells(b, revision, frame, cells)
}

// Broadcast offers one cells frame to every page, as the pusher does.
func (s *Server) Broadcast(revision uint32, frame uint64, cells []colour.XYZ) {
	m := s.pushes.get(binaryMessage)
	m.data = appendCells(m.data, revision, frame, cells)
	s.hub.publish(slotCells, m)
}

const binaryMessage = 2 // RFC 6455 11.8

// AppendSeen is the encoder of seen frames.
func AppendSeen(b []byte, revision uint32, frame uint64, cells []camera.RGB) []byte {
	return appendSeen(b, revision, frame, cells)
}
