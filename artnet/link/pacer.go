package link

import (
	"sync/atomic"
	"time"

	"linkboy/artnet/peer"
)

// The pace of a frame. A small device has room for few datagrams, and drops
// what comes faster than it reads. So no device gets more than Config.InARow
// of a frame in a row: the rest follows in rounds, roundGap apart, which leaves
// 250 us for each. Where that would take over half a frame the rounds are
// closer, at twice the rate that the device must stand anyway. Where it would be
// more than roundsMost rounds they are bigger, since timers are late by up to a
// millisecond. BenchmarkSmallDevice has what this saves.
const (
	inARow     = 8
	roundsMost = 8
	roundGap   = 2 * time.Millisecond
	roundsTake = peer.LineTime / 2
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
// It is lent the sender's memory until the next frame comes, and then what is
// left is sent at once: by SendFrame itself, which takes the memory back while
// the pacer pauses, for the engine may run where the pacer does not get to. So
// nothing is late by more than a frame, there is one frame in memory and no
// lock, and a frame that fits one round, as a cue of few universes does, never
// comes here.
type pacer struct {
	away   bool          // lent, and not taken back; SendFrame's own
	number uint64        // of the frame lent last; SendFrame's own
	state  atomic.Uint64 // the frame's number, and who has the memory
	work   chan lent
	round  chan struct{} // a round is over
	ended  chan struct{}
	left   int // rounds; of who has the memory
}

// lent is a frame that the pacer is to send, with this gap between rounds.
type lent struct {
	number uint64
	gap    time.Duration
}

// Who has the memory: pacer.state is the frame's number times states, plus this.
const (
	unclaimed = iota // who takes it
	inRound          // the pacer
	allSent          // nobody needs it: all is sent
	states
)

func newPacer() pacer {
	return pacer{work: make(chan lent, 1), round: make(chan struct{}, 1), ended: make(chan struct{})}
}

// lend gives the sender's memory away until takeBack.
func (p *pacer) lend(rounds int) {
	p.left = rounds
	p.number++
	p.away = true
	p.state.Store(p.number*states + unclaimed)
	select {
	case <-p.work: // a frame that was taken back before the pacer saw it
	default:
	}
	p.work <- lent{p.number, min(roundGap, roundsTake/time.Duration(rounds))}
}

// takeBack gets the sender's memory and sends what is left. It waits for the
// pacer only while that is in the middle of a round.
func (l *Link) takeBack() {
	p := &l.pacer
	for p.away {
		switch p.state.Load() % states {
		case inRound:
			<-p.round
		case allSent:
			p.away = false
		case unclaimed:
			if !p.state.CompareAndSwap(p.number*states+unclaimed, p.number*states+allSent) {
				continue
			}
			for p.left > 0 {
				l.laterRound()
			}
		}
	}
}

// laterRound sends a round but the first, and ends the frame after the last.
func (l *Link) laterRound() {
	p := &l.pacer
	p.left--
	l.sendRound(p.left == 0)
	if l.sender.stopped {
		p.left = 0
	}
	if p.left == 0 {
		l.finish()
	}
}

// pace runs the pacer until the link is closed.
func (l *Link) pace() {
	defer close(l.pacer.ended)
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-l.stop:
			return
		case frame := <-l.pacer.work:
			l.paceFrame(frame, timer)
		}
	}
}

// paceFrame sends a frame's later rounds unless it is taken back.
func (l *Link) paceFrame(frame lent, timer *time.Timer) {
	p := &l.pacer
	mine, free := frame.number*states+inRound, frame.number*states+unclaimed
	for {
		timer.Reset(frame.gap)
		select {
		case <-timer.C:
		case <-l.stop:
			return
		}
		if !p.state.CompareAndSwap(free, mine) {
			return
		}
		l.laterRound()
		done := p.left == 0
		if done {
			p.state.Store(frame.number*states + allSent)
		} else {
			p.state.Store(free)
		}
		select {
		case p.round <- struct{}{}:
		default: // nobody took the last one, and one is enough
		}
		if done {
			return
		}
	}
}
