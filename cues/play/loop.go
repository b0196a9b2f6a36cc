package play

import "time"

// begin starts the grid.
func (e *Engine) begin(now time.Time) {
	e.grid.restart(now)
	e.frameAt = now
	e.minute.begun = now
}

// turn takes the commands that wait, does the frame if one is due, and returns
// until when to sleep. Commands come first, so that a first frame is not late by
// the frame before it.
func (e *Engine) turn(now time.Time) (until time.Time) {
	e.takeWaiting()
	if e.atOnce {
		e.grid.restart(now)
		if e.started {
			e.fading.since = now
		}
	}
	if due := e.grid.due(e.grid.next); now.Before(due) {
		e.publish()
		return due
	}
	e.frame(now)
	return e.grid.due(e.grid.next)
}

// takeWaiting takes as many commands as fit the queue; those who send without
// end must not hold up a frame.
func (e *Engine) takeWaiting() {
	for range commandRoom {
		select {
		case c := <-e.commands:
			e.take(c)
		default:
			return
		}
	}
}

// frame renders the frame that is due and hands it on.
func (e *Engine) frame(now time.Time) {
	skipped := e.grid.catchUp(now)
	e.skipped += uint64(skipped)
	e.minute.add(now, skipped)
	at := e.grid.due(e.grid.next)
	moved, ended := e.fading.advance(at)
	if moved || e.moved {
		e.settle()
	}
	if e.place.moves > 0 {
		e.clock(at)
	}
	if e.stale || e.place.swap.runs {
		e.render(at)
	}
	due := at
	if e.atOnce {
		due = e.given
	}
	e.late.add(time.Since(due))
	e.hand(at)
	if e.atOnce {
		e.firsts.add(time.Since(e.given))
	}
	e.frames++
	e.frameAt = at
	e.grid.next++
	if e.started {
		e.tell(Started, e.fading.id, e.fading.since)
	}
	if !ended.IsZero() {
		e.done = ended
	}
	if !e.done.IsZero() {
		e.tell(Done, e.fading.id, e.done)
	}
	e.atOnce, e.started, e.done = false, false, time.Time{}
	e.publish()
}

// settle brings the state to the progress of the fade.
func (e *Engine) settle() {
	f := &e.fading
	if f.exact {
		f.fade.At(f.progress, e.place.cur)
	} else {
		f.fade.AtFrom(f.progress, e.place.start, e.place.cur)
	}
	// Floor light goes and comes with the fade: a pop would show on camera.
	to := float32(1)
	if e.dark {
		to = 0
	}
	e.floor = to + float32((e.floorFrom-to)*float32(1-f.progress))
	e.moved, e.stale = false, true
}

// render turns the state into bytes, for a time.
func (e *Engine) render(at time.Time) {
	p := e.place
	switch {
	case e.killed:
		p.writer.Write(p.dark, 1, 0)
	case p.moves > 0:
		e.move()
		p.writer.Write(p.moved, e.overall, e.floor)
	default:
		p.writer.Write(p.cur, e.overall, e.floor)
	}
	p.blend(at)
	e.stale = false
	e.version++
}

// hand gives the frame to the output. The mark of a first frame is kept until
// there is an output to see it.
func (e *Engine) hand(at time.Time) {
	if e.dry {
		e.handPreview()
		return
	}
	if e.output == nil {
		return
	}
	e.part(at)
	e.sendError = e.output.SendFrame(e.place.addresses, e.place.wire(), e.first)
	if e.sendError != nil {
		e.sendErrors++
	}
	e.first = false
}

// handPreview gives the frame of a dry run to whoever only looks at it.
func (e *Engine) handPreview() {
	if e.preview == nil {
		return
	}
	if e.sendError = e.preview.SendFrame(e.place.addresses, e.place.wire(), false); e.sendError != nil {
		e.sendErrors++
	}
}

// publish shows the state to readers and lets go who waits for that.
func (e *Engine) publish() {
	f := &e.fading
	e.board.fill(&Snapshot{
		Frame:      e.frames,
		At:         e.frameAt,
		FadeID:     f.id,
		Running:    f.running,
		Held:       f.held,
		Progress:   f.progress,
		Total:      f.total(),
		Remaining:  f.remaining(),
		Overall:    float64(e.overall),
		Killed:     e.killed,
		Dry:        e.dry,
		Dark:       e.dark,
		Moving:     e.place.moves > 0,
		Frozen:     e.frozen,
		Late:       Lateness{Frames: *e.late.read(), First: *e.firsts.read(), Skipped: e.skipped, Minute: e.minute.sum},
		SendErrors: e.sendErrors,
		SendError:  e.sendError,
		EventsLost: e.eventsLost,
	}, e.place, e.version)
	e.board.publish()
	e.shown.Store(e.version)
	for i, done := range e.waiters {
		close(done)
		e.waiters[i] = nil
	}
	e.waiters = e.waiters[:0]
}
