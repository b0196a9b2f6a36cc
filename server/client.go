package server

import (
	"errors"
	"io"
	"net"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"
)

// Limits of one page's link. A page that cannot keep to them is cut off; it
// is never waited for.
const (
	maxMessageBytes = 64 << 10
	maxAnswers      = 1024             // answers a page may leave unread; more than messagesAtOnce
	writeWait       = 3 * time.Second  // longest a write may hang
	pingEvery       = 5 * time.Second  // a page that is alive answers each ping
	readWait        = 13 * time.Second // silence after two pings went unanswered
	lingerWait      = time.Second      // time to read why the link was closed
	lingerBytes     = 16 << 20
	maxBadInARow    = 32 // unreadable messages after which there is no hope
)

// Why a link was cut, for the metrics.
const (
	cutSlow    = "slow reader"
	cutBig     = "message too large"
	cutGarbage = "garbage"
	cutSilent  = "silent"
)

// client is one page's link. Its reader runs verbs in its own goroutine, so
// that a tap waits for nobody; its writer sends answers in order, and of
// everything else the newest only.
type client struct {
	conn *websocket.Conn
	wait time.Duration // longest a write may hang
	wake chan struct{} // holds a token while there is something to write
	bye  chan struct{} // closed by dismiss
	done chan struct{} // closed by cut
	role Role          // of who looks at it
	// watches says that the page is shown what the meter reads.
	watches atomic.Bool

	mu      sync.Mutex
	answers [][]byte
	slots   [slotCount]*push
	reason  string // why it was cut; "" for a page that left
	isCut   bool
	leaving bool
}

// Slots hold the newest of each kind of push, sent in this order.
const (
	slotPlan = iota
	slotState
	slotCells
	slotSeen
	slotMeter
	slotCount
)

func newClient(conn *websocket.Conn, wait time.Duration) *client {
	return &client{conn: conn, wait: wait, wake: make(chan struct{}, 1), bye: make(chan struct{}), done: make(chan struct{})}
}

// offer gives c the newest push of a kind, in the place of one not yet sent.
// It never blocks.
func (c *client) offer(slot int, m *push) {
	c.mu.Lock()
	if c.isCut {
		c.mu.Unlock()
		return
	}
	old := c.slots[slot]
	c.slots[slot] = m.hold()
	c.mu.Unlock()
	old.release()
	c.rouse()
}

// answer queues an answer; a page that leaves too many unread is cut.
func (c *client) answer(text []byte) {
	c.mu.Lock()
	full := len(c.answers) >= maxAnswers
	if !full {
		c.answers = append(c.answers, text)
	}
	c.mu.Unlock()
	if full {
		c.cut(cutSlow)
		return
	}
	c.rouse()
}

func (c *client) rouse() {
	select {
	case c.wake <- struct{}{}:
	default:
	}
}

// next takes what is to be written now: answers first, then the slots.
func (c *client) next() (text []byte, m *push) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.answers) > 0 {
		text = c.answers[0]
		c.answers = c.answers[1:]
		return text, nil
	}
	for i, held := range c.slots {
		if held != nil {
			c.slots[i] = nil
			return nil, held
		}
	}
	return nil, nil
}

// write sends what there is until the link ends.
func (c *client) write() {
	ping := time.NewTicker(pingEvery)
	defer ping.Stop()
	for {
		select {
		case <-c.done:
			return
		case <-c.bye:
			c.bid(websocket.CloseGoingAway, "the daemon is stopping")
			return
		case <-c.wake:
			if !c.drain() {
				return
			}
		case <-ping.C:
			if err := c.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(c.wait)); err != nil {
				c.endWrite(err)
				return
			}
		}
	}
}

// drain writes until nothing is left; false means that the link has ended.
func (c *client) drain() bool {
	for {
		text, m := c.next()
		if text == nil && m == nil {
			return true
		}
		kind := websocket.TextMessage
		if m != nil {
			kind, text = m.kind, m.data
		}
		_ = c.conn.SetWriteDeadline(time.Now().Add(c.wait))
		err := c.conn.WriteMessage(kind, text)
		m.release()
		if err != nil {
			c.endWrite(err)
			return false
		}
	}
}

// endWrite ends a link that cannot be written to any more. Once the page has
// been told to go, the reader ends the link: it lingers.
func (c *client) endWrite(err error) {
	if errors.Is(err, websocket.ErrCloseSent) {
		return
	}
	reason := ""
	if timeout, ok := errors.AsType[net.Error](err); ok && timeout.Timeout() {
		reason = cutSlow
	}
	c.cut(reason)
}

// reasonOfRead tells a page that broke a limit from one that has gone.
func reasonOfRead(err error) string {
	if errors.Is(err, websocket.ErrReadLimit) {
		return cutBig
	}
	if timeout, ok := errors.AsType[net.Error](err); ok && timeout.Timeout() {
		return cutSilent
	}
	return ""
}

// cut ends the link at once. The first reason counts, and none when the page
// was sent away; both goroutines return soon after.
func (c *client) cut(reason string) {
	c.mu.Lock()
	first := !c.isCut
	if first {
		c.isCut = true
		if !c.leaving {
			c.reason = reason
		}
		close(c.done)
	}
	c.mu.Unlock()
	if first {
		_ = c.conn.Close()
	}
}

// dismiss asks the writer to end the link politely. It never blocks.
func (c *client) dismiss() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.leaving {
		c.leaving = true
		close(c.bye)
	}
}

// bid tells the page why its link ends, and gives both sides a moment to
// close it.
func (c *client) bid(code int, why string) {
	deadline := time.Now().Add(lingerWait)
	// Errors here mean that the page has gone already.
	_ = c.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, why), deadline)
	_ = c.conn.SetReadDeadline(deadline)
}

// linger reads and drops what still comes after a bid. A link closed over
// unread input is reset, and the page would never read why (RFC 1122 4.2.2.13).
// Only the reader may call it.
func (c *client) linger() { _, _ = io.CopyN(io.Discard, c.conn.NetConn(), lingerBytes) }

// pause waits; false means that the link has ended meanwhile.
func (c *client) pause(d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-c.done:
		return false
	}
}

// why gives the reason for which the link was cut, "" for a page that left.
func (c *client) why() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.reason
}

// letGo gives back what was never sent.
func (c *client) letGo() {
	c.mu.Lock()
	slots := c.slots
	c.slots = [slotCount]*push{}
	c.mu.Unlock()
	for _, m := range slots {
		m.release()
	}
}
