package link

import (
	"cmp"
	"net/netip"
	"slices"
	"sync"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// sourceFor is how long after its last ArtDmx a controller counts as sending:
// the standard has unchanged data repeated every 4 s at the latest.
const sourceFor = 5 * time.Second

// sourcesMost bounds the memory for controllers; invented ones push nobody out.
const sourcesMost = 1024

// Source is another controller that sends ArtDmx for a port-address of ours.
type Source struct {
	Addr        netip.Addr
	Name        string // if it has answered a poll
	PortAddress artnet.PortAddress
	Rate        float64 // packets per second
	LastSeen    time.Time
}

// sources remembers who else sends. It is safe for concurrent use and makes
// nothing for a source that it knows.
type sources struct {
	mu    sync.Mutex
	known map[sourceKey]*sourceCount
}

type sourceKey struct {
	addr        [4]byte
	portAddress artnet.PortAddress
}

type sourceCount struct {
	last time.Time
	rate peer.Rate
}

// heard counts an ArtDmx. It reports false when there is no room to.
func (s *sources) heard(now time.Time, from netip.Addr, a artnet.PortAddress) bool {
	key := sourceKey{from.As4(), a}
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.known[key]
	if c == nil {
		if len(s.known) >= sourcesMost && !s.forget(now) {
			return false
		}
		if s.known == nil {
			s.known = make(map[sourceKey]*sourceCount)
		}
		c = &sourceCount{}
		s.known[key] = c
	}
	c.last = now
	c.rate.Add(now)
	return true
}

// forget drops those that stopped, and reports whether there were any.
func (s *sources) forget(now time.Time) bool {
	before := len(s.known)
	for key, c := range s.known {
		if now.Sub(c.last) >= sourceFor {
			delete(s.known, key)
		}
	}
	return len(s.known) < before
}

func (s *sources) list(now time.Time) []Source {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.forget(now)
	all := make([]Source, 0, len(s.known))
	for key, c := range s.known {
		all = append(all, Source{Addr: netip.AddrFrom4(key.addr), PortAddress: key.portAddress, Rate: c.rate.PerSecond(now), LastSeen: c.last})
	}
	slices.SortFunc(all, func(a, b Source) int {
		return cmp.Or(a.Addr.Compare(b.Addr), cmp.Compare(a.PortAddress, b.PortAddress))
	})
	return all
}

// Sources lists the other controllers whose ArtDmx for port-addresses of ours
// reaches this machine, by address. They are forgotten 5 s after they stop. What
// they send to nodes alone is not seen here: a node that merges tells of it.
func (l *Link) Sources() []Source {
	all := l.sources.list(time.Now())
	l.mu.Lock()
	defer l.mu.Unlock()
	for i := range all {
		if n := l.table.known[netip.AddrPortFrom(all[i].Addr, l.table.port)]; n != nil {
			all[i].Name = n.info.Name
		}
	}
	return all
}
