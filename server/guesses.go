package server

import (
	"net/netip"
	"sync"
	"time"
)

// How many wrong pairing codes are borne. With all of these used up by an
// attacker, a code of 31^8 stands for thousands of years.
const (
	freeGuesses   = 4                // wrong codes of one device that cost no time
	longestWait   = 60 * time.Second // after more, 1 s, 2 s, 4 s ... up to this
	forgetAfter   = 10 * time.Minute // a device's wrong codes are forgotten so long after the last
	maxGuessers   = 1024             // devices remembered
	guessesAtOnce = 60               // wrong codes of all devices together
	guessesPerSec = 0.5
)

// guesses counts wrong pairing codes, by device and all together. It is safe
// for concurrent use.
type guesses struct {
	mu  sync.Mutex
	by  map[netip.Prefix]guesser
	all *bucket
}

type guesser struct {
	wrong int
	last  time.Time
}

func newGuesses() *guesses {
	return &guesses{by: map[netip.Prefix]guesser{}, all: newBucket(guessesPerSec, guessesAtOnce)}
}

// attempt notes a code that a device has sent, right or wrong. A wait above 0
// means that it came too soon after wrong ones: it must not count, not even
// when it was right, and the device may come again after that time.
func (g *guesses) attempt(remote string, right bool) (wait time.Duration) {
	g.mu.Lock()
	defer g.mu.Unlock()
	key := device(remote)
	if wait := g.wait(key); wait > 0 {
		return wait
	}
	if right {
		delete(g.by, key)
		return 0
	}
	g.all.take()
	g.forget()
	g.by[key] = guesser{g.by[key].wrong + 1, time.Now()}
	return 0
}

func (g *guesses) wait(key netip.Prefix) time.Duration {
	var wait time.Duration
	if who := g.by[key]; who.wrong > freeGuesses && time.Since(who.last) < forgetAfter {
		wait = min(longestWait, time.Second<<min(who.wrong-freeGuesses-1, 10)) - time.Since(who.last)
	}
	g.all.fill()
	if g.all.level < 1 {
		// Rounded up: a wait of nothing would be a guess for nothing.
		wait = max(wait, time.Duration((1-g.all.level)/guessesPerSec*float64(time.Second))+1)
	}
	return max(wait, 0)
}

// forget makes room: what is old goes, and when that is not enough, the oldest.
func (g *guesses) forget() {
	if len(g.by) < maxGuessers {
		return
	}
	var oldest netip.Prefix
	var last time.Time
	for key, who := range g.by {
		if time.Since(who.last) > forgetAfter {
			delete(g.by, key)
			continue
		}
		if last.IsZero() || who.last.Before(last) {
			oldest, last = key, who.last
		}
	}
	if len(g.by) >= maxGuessers {
		delete(g.by, oldest)
	}
}

// device is who a remote address stands for. In IPv6 one device has a whole
// /64 of addresses to guess from (RFC 8981).
func device(remote string) netip.Prefix {
	from, err := netip.ParseAddrPort(remote)
	if err != nil {
		return netip.Prefix{}
	}
	addr := from.Addr().Unmap().WithZone("")
	bits := 32
	if addr.Is6() {
		bits = 64
	}
	prefix, err := addr.Prefix(bits)
	if err != nil {
		return netip.Prefix{}
	}
	return prefix
}
