package link

import (
	"time"
)

// The pace of a frame. A small device has room for few datagrams, and drops
// what comes faster than it reads. So no device gets more than Config.InARow
// of a frame in a row: the rest follows in rounds, roundGap apart, or closer
// where that would take over half a frame. That is at most twice the rate the
// device must stand anyway, so it needs room for one round only. Where a
// device takes so many universes that this would be more than roundsMost
// rounds, the rounds become bigger, since timers here are late by about a
// millisecond.
const (
	inARow     = 8
	roundsMost = 8
	roundGap   = 2 * time.Millisecond
	roundsTake = frameTime / 2
)

// share sets every node's datagrams a round, and returns how many rounds that
// makes.
func (s *sender) share(inARow int) (rounds int) {
	for i := range s.spans {
		n := s.spans[i].end - s.spans[i].from
		s.spans[i].share = max(inARow, (n+roundsMost-1)/roundsMost)
		rounds = max(rounds, (n+s.spans[i].share-1)/s.spans[i].share)
	}
	return rounds
}

// pacer sends the later rounds of a frame while the engine does other things.
// It is lent the sender's memory, and gives it back when the next frame wants
// it, having sent at once what was left. So nothing is late by more than a
// frame, there is one frame in memory and no lock, and a frame that fits one
// round, as a cue of few universes does, never comes here.
type pacer struct {
	lent  bool          // SendFrame's own
	work  chan int      // rounds to send
	hurry chan struct{} // the next frame is here
	back  chan struct{}
	ended chan struct{}
}

func newPacer() pacer {
	return pacer{
		work:  make(chan int, 1),
		hurry: make(chan struct{}, 1),
		back:  make(chan struct{}, 1),
		ended: make(chan struct{}),
	}
}

// lend gives the sender's memory away until takeBack.
func (p *pacer) lend(rounds int) {
	p.lent = true
	p.work <- rounds
}

// takeBack waits for the memory, no longer than sending takes.
func (p *pacer) takeBack() {
	if !p.lent {
		return
	}
	p.hurry <- struct{}{}
	select {
	case <-p.back:
	case <-p.ended:
		select {
		case <-p.back:
		case <-p.work: // the link was closed before it was taken
		}
	}
	select {
	case <-p.hurry: // it was done already
	default:
	}
	p.lent = false
}

// pace runs the pacer until the link is closed.
func (l *Link) pace() {
	p := &l.pacer
	defer close(p.ended)
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-l.stop:
			return
		case rounds := <-p.work:
			gap := min(roundGap, roundsTake/time.Duration(rounds))
			for ; rounds > 0 && !l.sender.stopped; rounds-- {
				p.pause(timer, gap, l.stop)
				l.sendRound(rounds == 1)
			}
			l.finish()
			p.back <- struct{}{}
		}
	}
}

// pause waits for the gap, or until somebody is in a hurry.
func (p *pacer) pause(timer *time.Timer, gap time.Duration, stop <-chan struct{}) {
	timer.Reset(gap)
	select {
	case <-timer.C:
	case <-p.hurry:
		p.hurry <- struct{}{} // so are the rounds that follow
	case <-stop:
	}
}
