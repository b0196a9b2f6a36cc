package server

import (
	"fmt"
	"net/http"
	"time"

	"github.com/gorilla/websocket"
)

// How many messages a page may send: riding a fade with a thumb gives one for
// every picture of its screen, 60 or 120 a second, and a stalled link lets a
// second of them through at once.
const (
	messagesPerSecond = 150
	messagesAtOnce    = 300
	// floodPause slows the reading of a page that sends more, so that it
	// costs the daemon little and what is queued is soon through.
	floodPause = time.Millisecond
)

// upgrader turns a request into a websocket (RFC 6455). Messages go out
// uncompressed: they are small, and compressing costs time on a tap.
var upgrader = websocket.Upgrader{
	HandshakeTimeout: 5 * time.Second,
	ReadBufferSize:   4 << 10,
	WriteBufferSize:  4 << 10,
	CheckOrigin:      func(*http.Request) bool { return true }, // guard has checked it
}

// live is GET /ws: it carries a page's verbs in, and state and light out, for
// as long as the page is there.
func (s *Server) live(w http.ResponseWriter, r *http.Request) {
	if !websocket.IsWebSocketUpgrade(r) {
		w.Header().Set("Upgrade", "websocket")
		w.Header().Set("Connection", "Upgrade")
		s.refuse(w, r, &Problem{http.StatusUpgradeRequired, codeNotWebsocket, "this path speaks websocket only", "/ws", "open it as a websocket, or use POST /api/VERB"})
		return
	}
	if p := s.hub.enter(); p != nil {
		s.refuse(w, r, p)
		return
	}
	up := upgrader
	up.Error = func(w http.ResponseWriter, r *http.Request, status int, reason error) {
		s.refuse(w, r, &Problem{status, codeNotWebsocket, reason.Error(), "/ws", "open it as a websocket of RFC 6455, version 13"})
	}
	conn, err := up.Upgrade(w, r, nil)
	if err != nil { // answered by up.Error, or the page has gone
		s.hub.leave(nil)
		return
	}
	c := newClient(conn, s.writeWait)
	c.role = roleOf(r)
	s.attend(c)
}

// attend serves one page until its link ends.
func (s *Server) attend(c *client) {
	c.answer(fmt.Appendf(nil, `{"type":"role","role":%q}`, c.role))
	s.hub.add(c)
	defer s.hub.leave(c)
	writer := make(chan struct{})
	go func() {
		defer close(writer)
		c.write()
	}()
	defer func() {
		c.cut("")
		<-writer
		c.letGo()
		s.metrics.clientGone(c.why())
	}()
	s.listenTo(c)
}

// listenTo runs a page's verbs, one by one, until its link ends.
func (s *Server) listenTo(c *client) {
	c.conn.SetReadLimit(maxMessageBytes)
	alive := func(string) error { return c.conn.SetReadDeadline(time.Now().Add(readWait)) }
	_ = alive("") // a link that is closed already fails at the first read
	c.conn.SetPongHandler(alive)
	messages := newBucket(messagesPerSecond, messagesAtOnce)
	for bad := 0; bad < maxBadInARow; {
		kind, text, err := c.conn.ReadMessage()
		if err != nil {
			s.partFrom(c, err)
			return
		}
		_ = alive("")
		m, p := readMessage(kind, text)
		if !messages.take() {
			c.answer(answerTo(m.ID, tooOften))
			if !c.pause(floodPause) {
				return
			}
			continue
		}
		if p != nil {
			bad++
			c.answer(answerTo(m.ID, p))
			continue
		}
		bad = 0
		edit, p := s.obey(c, m)
		c.answer(answerEdited(m.ID, edit, p))
	}
	c.bid(websocket.ClosePolicyViolation, fmt.Sprintf("%d messages in a row could not be read", maxBadInARow))
	c.linger()
	c.cut(cutGarbage)
}

// partFrom ends a link that cannot be read from any more.
func (s *Server) partFrom(c *client, err error) {
	reason := reasonOfRead(err)
	if reason == cutBig {
		c.bid(websocket.CloseMessageTooBig, "") // gorilla has sent it; this sets the time to linger
		c.linger()
	}
	c.cut(reason)
}

var tooOften = &Problem{
	http.StatusTooManyRequests, codeTooOften, "messages come too often; this one was left out", "",
	fmt.Sprintf("send at most %d a second, the newest of each kind", messagesPerSecond),
}

// readMessage reads a message of either kind.
func readMessage(kind int, text []byte) (message, *Problem) {
	if kind != websocket.TextMessage {
		return message{}, &Problem{http.StatusBadRequest, codeNotText, "the message is binary", "", `send text: one JSON object, like {"id": 1, "verb": "hold"}`}
	}
	return parseMessage(text)
}

// obey runs the verb of a page's message. What nobody expected is logged here, as
// there is no caller to give it to.
func (s *Server) obey(c *client, m message) (edit *Edited, p *Problem) {
	if p := c.role.may(m.Verb); p != nil {
		s.metrics.verbRefused(m.Verb, p)
		return nil, p
	}
	var err error
	if m.Verb == watchVerb {
		if p = s.watch(c, m.Fields); p != nil {
			err = p
		}
		s.metrics.verbDone(watchVerb, err)
		return nil, p
	}
	if v, ok := editVerbNamed(m.Verb); ok {
		edit, err = s.runEdit(v, m.Fields, c.role)
	} else {
		var v verb
		if v, p = verbNamed(m.Verb); p != nil {
			s.metrics.verbRefused(m.Verb, p)
			return nil, p
		}
		err = s.run(v, m.Fields, by(sourcePage, c.conn.RemoteAddr().String()))
	}
	if err == nil {
		return edit, nil
	}
	p, known := asProblem(err)
	if !known {
		s.log.Error("verb failed", "verb", m.Verb, "error", err)
	}
	return nil, p
}
