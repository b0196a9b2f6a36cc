package link

import (
	"context"
	"fmt"
	"net/netip"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// keepPolling asks who is there every pollEvery, and replyWithin after each
// question finds out who did not answer.
func (l *Link) keepPolling(ctx context.Context) {
	asked := time.Now()
	l.poll()
	for sleepUntil(ctx, asked.Add(pollEvery)) {
		next := time.Now()
		l.poll()
		if !sleepUntil(ctx, asked.Add(replyWithin)) {
			return
		}
		l.expire(asked)
		asked = next
	}
}

// sleepUntil reports false when ctx ended first.
func sleepUntil(ctx context.Context, at time.Time) bool {
	timer := time.NewTimer(time.Until(at))
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-timer.C:
		return true
	}
}

// poll sends ArtPoll by directed broadcast and to every device that is named.
func (l *Link) poll() {
	w := *l.current.Load()
	ask := artnet.Poll{
		Flags:        artnet.PollReplyOnChange,
		DiagPriority: artnet.DiagLow,
		EstaMan:      artnet.PrototypeEsta,
		Oem:          artnet.UnknownOem,
	}
	packet, err := ask.AppendBinary(nil)
	if err != nil {
		l.cfg.Logger.Error("cannot make an ArtPoll", "error", err)
		return
	}
	l.count.polls.Add(1)
	l.mu.Lock()
	targets := l.table.named
	l.mu.Unlock()
	if b := w.Broadcast(); b.IsValid() {
		targets = append([]netip.AddrPort{b}, targets...)
	}
	lost := 0
	for _, to := range targets {
		if err := l.write(w, packet, to); err != nil && peer.Lost(err) {
			lost++
		}
	}
	if lost > 0 && lost == len(targets) {
		l.signalTrouble()
	}
}

// write sends a datagram that is no frame. Failing is counted.
func (l *Link) write(w wire, b []byte, to netip.AddrPort) error {
	err := w.SetWriteDeadline(time.Now().Add(sendWithin))
	if err == nil {
		err = write(w, b, to)
	}
	if err != nil {
		return l.fault(to, err)
	}
	return nil
}

func (l *Link) expire(asked time.Time) {
	l.mu.Lock()
	lost, dropped := l.table.expire(time.Now(), asked)
	if dropped || len(lost) > 0 {
		l.routes.Store(l.table.routes())
	}
	l.mu.Unlock()
	for _, n := range lost {
		l.cfg.Logger.Warn("a node stopped answering", "node", n.Name, "addr", n.Addr, "last seen", n.LastSeen)
	}
}

// receive takes one datagram. It may run in two goroutines at once.
func (l *Link) receive(from netip.AddrPort, b []byte) {
	l.count.received.Add(1)
	p, err := artnet.Parse(b)
	if err != nil {
		l.count.ignore(err)
		return
	}
	switch p := p.(type) {
	case *artnet.PollReply:
		// Our own answer to our own poll is no device, nor can a program on our
		// own address and port be reached.
		if l.table.place(from) != l.Local() {
			l.takeReply(from, p)
		}
	case *artnet.Poll:
		if l.asked(p) && !l.answers.Owe(from) {
			l.count.full.Add(1)
		}
	case *artnet.Dmx:
		l.count.dmx.Add(1)
	case *artnet.TimeCode:
		if l.cfg.TimeCode == nil {
			l.count.opCode.Add(1)
			return
		}
		l.cfg.TimeCode(from, p)
	default:
		l.count.opCode.Add(1)
	}
}

func (l *Link) takeReply(from netip.AddrPort, r *artnet.PollReply) {
	l.mu.Lock()
	n, what := l.table.reply(time.Now(), from, r)
	if what == newPorts || what == newNode || what == nodeBack {
		l.routes.Store(l.table.routes())
	}
	l.mu.Unlock()
	switch what {
	case tableFull:
		l.count.full.Add(1)
	case newNode:
		l.cfg.Logger.Info("found a node", "node", n.Name, "addr", n.Addr, "ports", fmt.Sprint(n.Ports))
	case nodeBack:
		l.cfg.Logger.Info("a node answers again", "node", n.Name, "addr", n.Addr)
	case newPorts:
		// A node tells its ports a page at a time, so this comes in runs.
		l.cfg.Logger.Debug("a node has other ports", "node", n.Name, "addr", n.Addr, "ports", fmt.Sprint(n.Ports))
	}
}
