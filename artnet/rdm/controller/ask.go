package controller

import (
	"context"
	"fmt"
	"time"

	"linkboy/artnet/rdm"
)

// Bounds of one conversation.
const (
	joinedMost  = 16 << 10 // bytes of the parts of one answer
	queuedMost  = 64       // messages taken from a device's queue for one answer
	putOffMost  = 8        // times that one answer may be put off
	fullRetries = 3        // times that a full buffer is waited for
)

// Get asks a device for a parameter; asked is the data of the request, empty for
// most. What comes is the data of the answer, all parts of it. Errors are
// *Refused, or wrap ErrUnknownDevice, ErrNoAnswer, ErrBusy, ErrTooLong or what
// ended ctx.
func (c *Controller) Get(ctx context.Context, u rdm.UID, pid rdm.PID, asked rdm.Parameter) ([]byte, error) {
	return c.ask(ctx, u, rdm.Get, pid, asked)
}

// Set sets a parameter of a device. Errors are those of Get.
func (c *Controller) Set(ctx context.Context, u rdm.UID, pid rdm.PID, value rdm.Parameter) error {
	_, err := c.ask(ctx, u, rdm.Set, pid, value)
	return err
}

// ask holds one conversation with a device: its queue of messages is nobody
// else's meanwhile.
func (c *Controller) ask(ctx context.Context, u rdm.UID, class rdm.Class, pid rdm.PID, asked rdm.Parameter) ([]byte, error) {
	m := rdm.Message{Destination: u, Source: c.cfg.UID, PortID: 1, Class: class, PID: pid}
	if asked != nil {
		var err error
		if m.Data, err = asked.AppendBinary(nil); err != nil {
			return nil, err
		}
	}
	c.mu.Lock()
	d := c.devices[u]
	var l *line
	if d != nil {
		l = c.line(d.key.gateway())
	}
	c.mu.Unlock()
	if d == nil {
		return nil, fmt.Errorf("rdm: %v: %w; search the network again", u, ErrUnknownDevice)
	}
	if err := d.turn.take(ctx); err != nil {
		return nil, err
	}
	defer d.turn.give()
	data, err := c.converse(ctx, l, m)
	c.heard(u, err)
	return data, err
}

// converse asks until there is a whole answer.
func (c *Controller) converse(ctx context.Context, l *line, m rdm.Message) ([]byte, error) {
	var joined []byte
	for full, putOff := 0, 0; ; {
		answer, err := c.exchange(ctx, l, m)
		if err == nil && answer.Response == rdm.ResponseTimer {
			if putOff++; putOff > putOffMost {
				return nil, fmt.Errorf("rdm: %v %v of %v: %w again and again", m.Class, m.PID, m.Destination, ErrBusy)
			}
			var there bool
			if answer, there, err = c.queued(ctx, l, m, answer); err == nil && !there {
				continue // it is not in the queue: ask once more
			}
		}
		if err != nil {
			return nil, err
		}
		switch answer.Response {
		case rdm.ResponseOverflow:
			if joined = append(joined, answer.Data...); len(joined) > joinedMost || len(answer.Data) == 0 || m.Class != rdm.Get {
				return nil, fmt.Errorf("rdm: %v %v of %v: %w after %d bytes", m.Class, m.PID, m.Destination, ErrTooLong, len(joined))
			}
		case rdm.ResponseNack:
			why := nackOf(&answer)
			if (why == rdm.NackBufferFull || why == rdm.NackProxyBufferFull) && full < fullRetries {
				full++
				if !sleep(ctx, c.cfg.Pause<<full) {
					return nil, ctx.Err()
				}
				continue
			}
			return nil, &Refused{m.Destination, m.Class, m.PID, why}
		default:
			return append(joined, answer.Data...), nil
		}
	}
}

// queued waits for an answer that was put off by an ACK_TIMER and asks for it.
// ANSI E1.20 sections 6.3.3 and 10.3.1. there is false when the device does not
// have it, as it knows no queue or another controller took it.
func (c *Controller) queued(ctx context.Context, l *line, m, timer rdm.Message) (answer rdm.Message, there bool, err error) {
	kind, _ := rdm.StatusAdvisory.AppendBinary(nil)
	ask := rdm.Message{Destination: m.Destination, Source: m.Source, PortID: m.PortID, Class: rdm.Get, PID: rdm.PIDQueuedMessage, Data: kind}
	if err := c.waitFor(ctx, &timer); err != nil {
		return answer, false, err
	}
	for range queuedMost {
		answer, err = c.exchange(ctx, l, ask)
		switch {
		case err != nil:
			return answer, false, err
		case answer.Response == rdm.ResponseTimer:
			if err := c.waitFor(ctx, &answer); err != nil {
				return answer, false, err
			}
		case answer.PID == m.PID && answer.Class == m.Class.Answer() && answer.SubDevice == m.SubDevice:
			return answer, true, nil
		case answer.PID == rdm.PIDQueuedMessage || answer.PID == rdm.PIDStatusMessages && answer.Count == 0:
			return answer, false, nil // refused, or nothing waits
		default:
			c.note(&answer)
		}
	}
	return answer, false, fmt.Errorf("rdm: %v: %w behind more than %d others", m.Destination, ErrBusy, queuedMost)
}

// waitFor waits as long as an ACK_TIMER says.
func (c *Controller) waitFor(ctx context.Context, m *rdm.Message) error {
	var timer rdm.AckTimer
	if err := timer.Parse(m.Data); err != nil {
		return fmt.Errorf("rdm: %v: %w", m.Source, err)
	}
	wait := max(timer.Duration(), 10*time.Millisecond) // 0 must not spin
	if wait > c.cfg.Patience {
		return fmt.Errorf("rdm: %v: %w by %v, more than %v", m.Source, ErrBusy, wait, c.cfg.Patience)
	}
	if !sleep(ctx, wait) {
		return ctx.Err()
	}
	return nil
}

func nackOf(m *rdm.Message) rdm.NackReason {
	var why rdm.NackReason
	if why.Parse(m.Data) != nil {
		return rdm.NackFormat // Check has let only 2 bytes through
	}
	return why
}
