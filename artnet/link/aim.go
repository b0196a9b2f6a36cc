package link

import (
	"maps"
	"net/netip"
	"slices"

	"linkboy/artnet"
)

// Target is where one port-address goes. The zero Target is the devices that say
// they put it out.
type Target struct {
	// To names devices that get it whether or not they answer polls; a port of
	// 0 is that of the link.
	To []netip.AddrPort
	// Broadcast sends it to everyone; see Config.Broadcast.
	Broadcast bool
}

// Targets is where all port-addresses go: those of Each as they say, all others
// to the devices that say they put them out.
type Targets struct {
	Each map[artnet.PortAddress]Target
	Sync bool // see Config.Sync
}

// Aim changes where port-addresses go, from the next frame on. What goes
// somewhere else than before is sent in full. It has no effect on a link that
// Config gives a To or Broadcast, which are for all. It may be called from any
// goroutine, and keeps nothing of t.
func (l *Link) Aim(t Targets) {
	l.sync.Store(t.Sync)
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.table.take(t.Each) {
		l.routes.Store(l.table.routes())
	}
}

// take takes new aims and reports whether they are others.
func (t *table) take(each map[artnet.PortAddress]Target) (changed bool) {
	aim := make(map[artnet.PortAddress]Target, len(each))
	for a, to := range each {
		if len(to.To) == 0 && !to.Broadcast || !a.Valid() {
			continue
		}
		to.To = slices.Clone(to.To)
		for i, at := range to.To {
			if at.Port() == 0 {
				to.To[i] = netip.AddrPortFrom(at.Addr(), t.port)
			}
		}
		aim[a] = to
	}
	if maps.EqualFunc(aim, t.aim, Target.equal) {
		return false
	}
	for _, side := range []map[artnet.PortAddress]Target{aim, t.aim} {
		for a := range side {
			if !aim[a].equal(t.aim[a]) {
				t.fresh[a]++
			}
		}
	}
	t.aim, t.named = aim, slices.Clone(t.to)
	for _, a := range slices.Sorted(maps.Keys(aim)) {
		for _, at := range aim[a].To {
			if !slices.Contains(t.named, at) {
				t.named = append(t.named, at)
			}
		}
	}
	return true
}

func (t Target) equal(o Target) bool {
	return t.Broadcast == o.Broadcast && slices.Equal(t.To, o.To)
}
