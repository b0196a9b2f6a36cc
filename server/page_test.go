package server_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"
)

// heard is one message that came to a page, and when.
type heard struct {
	at     time.Time
	binary bool // a cells frame
	seen   bool // a seen frame
	text   []byte
	wire   struct {
		Type     string
		ID       *int64
		OK       bool
		Error    *struct{ Code, Message, Where, Mend string }
		Role     string
		Revision uint32
		State    struct {
			Look     string
			Overall  float64
			Revision uint32
			Output   struct{ Frames uint64 }
			Nodes    []struct{ Name string }
			Warnings []struct{ Code, Where, Mend string }
		}
	}
}

// testPageLink is a page: a websocket whose every message is kept.
type testPageLink struct {
	t    testing.TB
	conn *websocket.Conn
	all  chan heard
	end  chan error // why reading ended, once it has
	done sync.WaitGroup
}

// openPage connects a page that reads all that comes.
func openPage(t testing.TB, dial func() (net.Conn, error), header http.Header) *testPageLink {
	p := &testPageLink{t: t, conn: dialWebsocket(t, dial, header), all: make(chan heard, 1<<16), end: make(chan error, 1)}
	p.done.Go(p.read)
	t.Cleanup(p.leave)
	return p
}

func dialWebsocket(t testing.TB, dial func() (net.Conn, error), header http.Header) *websocket.Conn {
	t.Helper()
	dialer := websocket.Dialer{NetDial: func(string, string) (net.Conn, error) { return dial() }}
	conn, _, err := dialer.Dial("ws://127.0.0.1:4040/ws", header)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

func (p *testPageLink) read() {
	for {
		kind, text, err := p.conn.ReadMessage()
		if err != nil {
			p.end <- err
			return
		}
		h := heard{at: time.Now(), text: text}
		if kind == websocket.BinaryMessage && len(text) > 0 {
			h.binary, h.seen = text[0] == 1, text[0] == 2
		}
		if kind == websocket.TextMessage {
			if err := json.Unmarshal(text, &h.wire); err != nil {
				p.end <- fmt.Errorf("%q: %w", text, err)
				return
			}
		}
		p.all <- h
	}
}

func (p *testPageLink) send(format string, args ...any) {
	p.t.Helper()
	require.NoError(p.t, p.conn.WriteMessage(websocket.TextMessage, fmt.Appendf(nil, format, args...)))
}

// await gives the next message that fits; what comes before it is dropped.
func (p *testPageLink) await(what string, fits func(heard) bool) heard {
	p.t.Helper()
	limit := time.NewTimer(time.Minute)
	defer limit.Stop()
	for {
		select {
		case h := <-p.all:
			if fits(h) {
				return h
			}
		case err := <-p.end:
			require.FailNow(p.t, "the link ended before "+what, "%v", err)
		case <-limit.C:
			require.FailNow(p.t, "nothing heard of "+what)
		}
	}
}

func (p *testPageLink) answer(id int64) heard {
	p.t.Helper()
	return p.await(fmt.Sprint("answer ", id), func(h heard) bool {
		return h.wire.Type == "answer" && h.wire.ID != nil && *h.wire.ID == id
	})
}

func isState(h heard) bool { return h.wire.Type == "state" }

// heardUntilNow gives what has come and was not asked for yet.
func (p *testPageLink) heardUntilNow() []heard {
	var all []heard
	for {
		select {
		case h := <-p.all:
			all = append(all, h)
		default:
			return all
		}
	}
}

// closed waits for the end of the link and gives the close code that the page
// was told, 0 when it was told none.
func (p *testPageLink) closed() int {
	p.t.Helper()
	p.done.Wait()
	err := <-p.end
	p.end <- err
	if closed, ok := errors.AsType[*websocket.CloseError](err); ok && closed.Code != websocket.CloseAbnormalClosure {
		return closed.Code
	}
	return 0
}

// leave closes the page and waits for its reader.
func (p *testPageLink) leave() {
	_ = p.conn.Close()
	p.done.Wait()
}
