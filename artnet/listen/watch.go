package listen

import (
	"context"
	"maps"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// A Watch joins the groups of so many of its universes whether somebody says that he
// sends them or not: sources older than universe discovery do not say.
const (
	watchUniverses = 16
	watchMost      = 32 // with those that are said to be sent
	lookEvery      = time.Second
	rejoinEvery    = 5 * time.Second
)

// WatchConfig says what to watch.
type WatchConfig struct {
	// Interface is this machine's interface to the lamps' network, by name or address;
	// "" is every interface that has multicast.
	Interface string
	// Port is the UDP port of E1.31; 0 is sacn.Port. Any other serves only tests.
	Port int
	// Universes gives those that matter now, ascending.
	Universes func() []sacn.Universe
	// Ours tells our own sources, which are not told of.
	Ours func(sacn.CID) bool
	// Trouble is told why sources cannot be heard, once for each reason; nil for nobody.
	Trouble func(error)
}

// Watch hears who else sends universes of E1.31 by multicast. It takes nothing away from
// other programs, not what is sent to this machine alone, and costs our own output
// nothing but the first few universes of it, which the system gives back to it.
type Watch struct {
	cfg    WatchConfig
	table  *Table
	others atomic.Pointer[[]Stream]

	joined map[sacn.Universe]*peer.Groups // Run's own
	failed string                         // what was last told
	wait   sync.WaitGroup
}

// NewWatch makes a Watch that hears nothing until it runs.
func NewWatch(cfg WatchConfig) *Watch {
	if cfg.Port == 0 {
		cfg.Port = sacn.Port
	}
	if cfg.Trouble == nil {
		cfg.Trouble = func(error) {}
	}
	w := &Watch{cfg: cfg, table: NewTable(), joined: map[sacn.Universe]*peer.Groups{}}
	w.others.Store(&[]Stream{})
	return w
}

// Others lists who else sends the universes, as of the last second, by universe. What is
// not for live output is left out. It is not to be changed.
func (w *Watch) Others() []Stream { return *w.others.Load() }

// Run watches until ctx ends. A network that cannot be listened to is tried again.
func (w *Watch) Run(ctx context.Context) {
	defer w.wait.Wait()
	defer func() { w.keep(nil, nil) }()
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	var on []peer.Interface
	var listed time.Time
	for {
		now := time.Now()
		if now.Sub(listed) >= rejoinEvery {
			listed = now
			if found := w.interfaces(); !slices.EqualFunc(found, on, sameInterface) {
				w.keep(nil, nil)
				on = found
			}
		}
		universes := w.cfg.Universes()
		w.keep(w.wanted(now, universes), on)
		others := w.look(now, universes)
		w.others.Store(&others)
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

func sameInterface(a, b peer.Interface) bool { return a.Name == b.Name && a.Prefix == b.Prefix }

// interfaces are those to listen on; none when there is none.
func (w *Watch) interfaces() []peer.Interface {
	all, err := peer.Interfaces()
	if err != nil {
		w.tell(err)
		return nil
	}
	if w.cfg.Interface == "" {
		return peer.ForGroups(all)
	}
	at, err := peer.Pick(all, w.cfg.Interface)
	if err != nil {
		w.tell(err)
		return nil
	}
	return []peer.Interface{at}
}

// wanted are the universes whose groups are to be joined.
func (w *Watch) wanted(now time.Time, universes []sacn.Universe) []sacn.Universe {
	want := []sacn.Universe{sacn.DiscoveryUniverse}
	want = append(want, universes[:min(len(universes), watchUniverses)]...)
	for _, l := range w.table.Lists(now) {
		if w.cfg.Ours(l.CID) {
			continue
		}
		for _, u := range l.Universes {
			if _, ours := slices.BinarySearch(universes, u); ours && len(want) < watchMost && !slices.Contains(want, u) {
				want = append(want, u)
			}
		}
	}
	return want
}

// keep joins what is wanted and leaves the rest.
func (w *Watch) keep(want []sacn.Universe, on []peer.Interface) {
	maps.DeleteFunc(w.joined, func(u sacn.Universe, g *peer.Groups) bool {
		if slices.Contains(want, u) {
			return false
		}
		_ = g.Close()
		return true
	})
	if len(on) == 0 {
		return
	}
	for _, u := range want {
		if w.joined[u] != nil {
			continue
		}
		g, err := peer.JoinOne(uint16(w.cfg.Port), u.Group(), on)
		if err != nil {
			w.tell(err)
			return // the next look tries again
		}
		w.joined[u] = g
		w.wait.Go(func() {
			_ = g.Read(func(from netip.AddrPort, b []byte) { w.table.TakeSACN(time.Now(), from.Addr(), b) })
		})
	}
}

// look lists the others.
func (w *Watch) look(now time.Time, universes []sacn.Universe) []Stream {
	return slices.DeleteFunc(w.table.Look(now), func(s Stream) bool {
		_, wanted := slices.BinarySearch(universes, sacn.Universe(s.Universe))
		return !wanted || s.State != Live || s.Preview || w.cfg.Ours(s.CID)
	})
}

// tell tells a fault once.
func (w *Watch) tell(err error) {
	if text := err.Error(); text != w.failed {
		w.failed = text
		w.cfg.Trouble(err)
	}
}
