package controller

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
)

// turn is what one holds at a time; who waits is served in order.
type turn chan struct{}

func newTurn() turn { return make(turn, 1) }

func (t turn) take(ctx context.Context) error {
	select {
	case t <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (t turn) give() { <-t }

// line is one gateway port. Who has its turn may have one request outstanding.
type line struct {
	at   Gateway
	turn turn

	mu          sync.Mutex
	transaction uint8
	waiting     *waiting // the request that is outstanding
}

// waiting is a request and where its answer goes.
type waiting struct {
	request rdm.Message
	answer  chan rdm.Message // holds one
	bad     error            // what came instead
}

// line finds or makes the line of a gateway; c.mu is held.
func (c *Controller) line(at Gateway) *line {
	l := c.lines[at]
	if l == nil {
		l = &line{at: at, turn: newTurn()}
		c.lines[at] = l
	}
	return l
}

// exchange sends a request until it is answered, in turn with others.
func (c *Controller) exchange(ctx context.Context, l *line, m rdm.Message) (rdm.Message, error) {
	var last error
	for try := range c.cfg.Tries {
		if try > 0 && !sleep(ctx, c.cfg.Pause<<(try-1)) {
			return rdm.Message{}, ctx.Err()
		}
		if err := l.turn.take(ctx); err != nil {
			return rdm.Message{}, err
		}
		answer, err := c.once(ctx, l, m)
		l.turn.give()
		if err == nil || ctx.Err() != nil {
			return answer, err
		}
		last = err
	}
	return rdm.Message{}, fmt.Errorf("rdm: %v %v of %v at node %v, port-address %v, tried %d times: %w",
		m.Class, m.PID, m.Destination, l.at.Node.Addr(), l.at.PortAddress, c.cfg.Tries, last)
}

// once sends a request one time and waits for its answer.
func (c *Controller) once(ctx context.Context, l *line, m rdm.Message) (rdm.Message, error) {
	w := &waiting{answer: make(chan rdm.Message, 1)}
	l.mu.Lock()
	l.transaction++
	m.Transaction = l.transaction
	w.request, l.waiting = m, w
	l.mu.Unlock()
	defer func() {
		l.mu.Lock()
		l.waiting = nil
		l.mu.Unlock()
	}()
	b, err := m.AppendWithoutStart(nil)
	if err != nil {
		return rdm.Message{}, err
	}
	c.count.requests.Add(1)
	if err := c.cfg.Send(l.at.Node, &artnet.Rdm{PortAddress: l.at.PortAddress, Message: b}); err != nil {
		return rdm.Message{}, err
	}
	timer := time.NewTimer(c.cfg.Timeout)
	defer timer.Stop()
	select {
	case answer := <-w.answer:
		return answer, nil
	case <-ctx.Done():
		return rdm.Message{}, ctx.Err()
	case <-timer.C:
		c.count.timeouts.Add(1)
		l.mu.Lock()
		defer l.mu.Unlock()
		if w.bad != nil {
			return rdm.Message{}, fmt.Errorf("%w that can be read: %w", ErrNoAnswer, w.bad)
		}
		return rdm.Message{}, fmt.Errorf("%w in %v; is it plugged in and on?", ErrNoAnswer, c.cfg.Timeout)
	}
}

// takeMessage gives an answer to who waits for it.
func (c *Controller) takeMessage(from netip.AddrPort, p *artnet.Rdm) {
	c.mu.Lock()
	l := c.lines[Gateway{from, p.PortAddress}]
	c.mu.Unlock()
	if l == nil {
		c.count.late.Add(1)
		return
	}
	var m rdm.Message
	err := m.ParseWithoutStart(p.Message)
	if err == nil && m.Class.IsResponse() {
		err = m.Check()
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	switch w := l.waiting; {
	case err != nil:
		c.count.bad.Add(1)
		if w != nil && !errors.Is(err, rdm.ErrRule) {
			w.bad = err // the answer itself may still come
		}
	case w == nil || !m.Answers(&w.request):
		c.count.late.Add(1)
	default:
		l.waiting = nil
		c.count.answers.Add(1)
		w.answer <- m
	}
}
