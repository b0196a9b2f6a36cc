package link

import "time"

// A system gives a unicast datagram to one program only, the one that came last
// to a shared address. So while another program on this machine polls from our
// address the nodes' answers go there, and their silence here means nothing.

// sharedFor is how long after such a poll that holds: until our next poll and
// the standard's time for its answers are over.
const sharedFor = pollEvery + replyWithin + 250*time.Millisecond

// heardOwnPoll is called with every ArtPoll from our own address and port. Each
// of our rounds comes back once, by broadcast; more are somebody else's.
func (l *Link) heardOwnPoll() {
	l.mu.Lock()
	l.ownPolls++
	more := l.ownPolls > 1
	first := more && !time.Now().Before(l.sharedUntil)
	if more {
		l.sharedUntil = time.Now().Add(sharedFor)
	}
	l.mu.Unlock()
	if first {
		l.cfg.Logger.Warn("another program on this machine polls from our Art-Net address; until it ends a lost node cannot be told", "addr", l.Local())
	}
}

// Shared reports whether another program on this machine polls from the same
// address and port. While it does, nodes are neither called lost nor given up.
func (l *Link) Shared() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return time.Now().Before(l.sharedUntil)
}
