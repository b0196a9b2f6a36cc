package peer

import (
	"context"
	"math/rand/v2"
	"net/netip"
	"time"
)

// AnswerWithin is how long a device may wait before it answers ArtPoll. The
// wait is random so that not all answers of a network come at once.
const AnswerWithin = time.Second

// RandomDelay is a random time from 0 to AnswerWithin.
func RandomDelay() time.Duration { return rand.N(AnswerWithin) }

// answersMost bounds how many controllers can wait for an answer at a time, so
// that a flood of polls from invented addresses costs nothing.
const answersMost = 64

// Answers sends a device's answers to ArtPoll, each after its delay, one at a
// time to each controller.
type Answers struct {
	asked chan netip.AddrPort
	delay func() time.Duration
	send  func(to netip.AddrPort)
}

// NewAnswers makes Answers that wait delay (RandomDelay if nil) and then call
// send from Run's goroutine.
func NewAnswers(delay func() time.Duration, send func(to netip.AddrPort)) *Answers {
	if delay == nil {
		delay = RandomDelay
	}
	return &Answers{asked: make(chan netip.AddrPort, answersMost), delay: delay, send: send}
}

// Owe asks for an answer to the controller at to. It never waits, and reports
// false when too many answers are owed already.
func (a *Answers) Owe(to netip.AddrPort) bool {
	select {
	case a.asked <- to:
		return true
	default:
		return false
	}
}

// Run sends answers until ctx ends.
func (a *Answers) Run(ctx context.Context) {
	due := make(map[netip.AddrPort]time.Time)
	timer := time.NewTimer(0)
	defer timer.Stop()
	<-timer.C
	for {
		select {
		case <-ctx.Done():
			return
		case to := <-a.asked:
			// One answer serves every poll that came while it was owed.
			if _, owed := due[to]; !owed && len(due) < answersMost {
				due[to] = time.Now().Add(a.delay())
			}
		case <-timer.C:
		}
		if wait, any := a.sendDue(due); any {
			timer.Reset(wait)
		}
	}
}

// sendDue sends what is due and says how long until the next.
func (a *Answers) sendDue(due map[netip.AddrPort]time.Time) (wait time.Duration, any bool) {
	now := time.Now()
	for to, at := range due {
		if left := at.Sub(now); left > 0 {
			if !any || left < wait {
				wait, any = left, true
			}
			continue
		}
		delete(due, to)
		a.send(to)
	}
	return wait, any
}
