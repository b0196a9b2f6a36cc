package link

import (
	"context"
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
	l.ownPolls = 0
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

// expire finds who did not answer the poll at asked.
func (l *Link) expire(asked time.Time) {
	l.mu.Lock()
	if time.Now().Before(l.sharedUntil) {
		l.mu.Unlock()
		return
	}
	lost, dropped := l.table.expire(time.Now(), asked)
	if dropped || len(lost) > 0 {
		l.routes.Store(l.table.routes())
	}
	l.mu.Unlock()
	for _, n := range lost {
		l.cfg.Logger.Warn("a node stopped answering", "node", n.Name, "addr", n.Addr, "last seen", n.LastSeen)
	}
}
