package link

import (
	"context"
	"time"
)

// Times between tries to open the sockets anew, doubling from the first to the
// most; after steady without trouble the first counts again.
const (
	reopenFirst = 500 * time.Millisecond
	reopenMost  = 8 * time.Second
	steady      = 30 * time.Second
)

// keepOpen reads the sockets until ctx ends. When reading fails, or sending
// shows that the network is gone, it opens new ones and drops the old.
func (l *Link) keepOpen(ctx context.Context) {
	wait := reopenFirst
	opened := time.Now()
	done := l.read()
	if w := *l.current.Load(); w.Shared() { // later on it would be our own old socket
		l.cfg.Logger.Warn("another program uses this Art-Net address; answers may reach only one of the two", "addr", w.Local())
	}
	l.warnDeaf()
	for {
		select {
		case <-ctx.Done():
			(*l.current.Load()).Close()
			if done != nil {
				<-done
			}
			return
		case err := <-done:
			done = nil
			if !l.closed.Load() && ctx.Err() == nil {
				l.cfg.Logger.Warn("the network stopped; trying again", "error", err, "in", wait)
			}
		case <-l.trouble:
		}
		if time.Since(opened) > steady {
			wait = reopenFirst
		}
		if !sleepUntil(ctx, time.Now().Add(wait)) {
			continue
		}
		wait = min(2*wait, reopenMost)
		next, err := l.open()
		if err != nil {
			l.cfg.Logger.Warn("the network is gone; trying again", "error", err, "in", wait)
			l.signalTrouble()
			continue
		}
		old := *l.current.Swap(&next)
		old.Close()
		if done != nil {
			<-done
		}
		done, opened = l.read(), time.Now()
		l.count.reopened.Add(1)
		l.warnDeaf()
	}
}

// read starts reading the current sockets. What it returns gets the error that
// ended it.
func (l *Link) read() <-chan error {
	done := make(chan error, 1)
	w := *l.current.Load()
	go func() { done <- w.Read(l.receive) }()
	return done
}

func (l *Link) warnDeaf() {
	if err := (*l.current.Load()).Deaf(); err != nil {
		l.cfg.Logger.Warn("broadcasts are not heard; nodes that answer by broadcast stay unseen", "error", err)
	}
	if w := *l.current.Load(); l.sync.Load() && !w.Broadcast().IsValid() {
		l.cfg.Logger.Warn("frames end without ArtSync, which goes by broadcast only; use an interface that has one", "addr", w.Local(), "error", errNoBroadcast)
	}
}
