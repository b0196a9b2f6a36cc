package play

import "time"

// take does one command.
func (e *Engine) take(c command) {
	switch c.kind {
	case doLoad:
		e.load(c)
	case doReplace:
		e.replace(c)
	case doStart:
		e.start(c)
	case doHold:
		e.fading.hold()
		e.frozen = e.place.moves > 0
	case doResume:
		e.fading.resume(c.given)
		e.thaw()
	case doRide:
		if e.fading.running {
			e.thaw()
		}
		e.moved = e.fading.ride(c.value, c.given) || e.moved
	case doSnap:
		e.snap(c)
	case doOverall:
		e.overall, e.stale = float32(c.value), true
	case doKill:
		if e.killed != c.on {
			e.killed = c.on
			e.arrive()
			e.hurry(c)
		}
	case doDry:
		e.first = e.first || e.dry && !c.on
		e.dry = c.on
	case doOutput:
		e.output, e.first = c.output, true
	case doWait:
		e.waiters = append(e.waiters, c.done)
	}
}

// hurry makes the next frame a first one, due now.
func (e *Engine) hurry(c command) {
	if !e.atOnce {
		e.given = c.given
	}
	e.atOnce, e.first, e.stale = true, true, true
}

func (e *Engine) load(c command) {
	e.leave(e.place, c.place, c.given, 0)
	e.fading.end()
	e.moved, e.started, e.done = false, false, time.Time{}
	e.dark, e.floor = false, 1
	e.frozen = false
	e.hurry(c)
}

func (e *Engine) start(c command) {
	p := e.place
	if len(c.fade.To) != len(p.cur) {
		e.tell(Refused, c.id, c.given)
		return
	}
	if e.moved { // what was asked before this counts, even if no frame has shown it
		e.fading.advance(c.given)
		e.settle()
	}
	e.move() // movement that goes out does so from here
	if e.killed {
		copy(p.cur, p.dark)
		p.moves = 0
		e.killed, e.floor = false, 0
	}
	e.thaw()
	p.turn(c.opt.Motion, c.opt.GoOn)
	if c.fade.Total == 0 {
		e.arrive()
	}
	e.floorFrom, e.dark = e.floor, c.opt.Dark
	e.fading.start(c.fade, c.id, c.opt, c.given)
	e.fading.exact = p.begin(c.fade)
	e.moved, e.started, e.done = true, true, time.Time{}
	e.hurry(c)
}

func (e *Engine) snap(c command) {
	e.arrive()
	if !e.fading.running {
		return
	}
	e.fading.end()
	e.moved, e.done = true, c.given
	e.thaw()
	e.hurry(c)
}
