package outlet

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/listen"
	"linkboy/artnet/sacn"
)

// Config is what holds for every output that does not say otherwise.
type Config struct {
	// Interface is this machine's interface to the lamps' network, by name or
	// address; "" leaves the choice to peer.Choose.
	Interface string
	// To names Art-Net devices that get every universe of outputs that name
	// none; when empty, these go to the nodes that answer.
	To   []netip.AddrPort
	Port int // UDP port of Art-Net; 0 is artnet.Port
	// SACNPort is where other sACN sources are listened for; 0 is sacn.Port. Any other
	// serves only tests.
	SACNPort int
	// Show tells this show's sACN sources from those of other shows on this
	// machine; the folder of the show will do.
	Show string
	// Name is shown by other devices; "linkboy" if empty.
	Name string
	// TimeCode hears the time code that arrives on the interfaces of Art-Net
	// outputs, as link.Config.TimeCode does; nil for nobody.
	TimeCode func(from netip.AddrPort, code *artnet.TimeCode)
	// RDM takes what RDM gateways send there, as link.Config.RDM does; nil for
	// nobody.
	RDM    func(from netip.AddrPort, p artnet.Packet) bool
	Logger *slog.Logger // nil discards
}

// Outlet sends frames the ways that it was last told to Use. SendFrame and the
// SendFrame of Preview belong to one goroutine at a time; everything else may be
// called from any.
type Outlet struct {
	cfg  Config
	log  *slog.Logger
	plan atomic.Pointer[plan]
	sent atomic.Uint64 // calls of SendFrame

	watch *listen.Watch
	cids  sync.Map // sacn.CID of every source that was here -> struct{}

	mu      sync.Mutex // of what follows; never held by SendFrame
	ctx     context.Context
	next    *plan // what plan becomes when what is left behind is dark; nil for nothing
	since   time.Time
	at      uint64                   // of sent, when Use was called
	closing map[string]chan struct{} // by key: closed when the last way of it is
	dropped sync.WaitGroup           // ways that are being closed
}

// plan is where a frame goes. It is never changed once made.
type plan struct {
	routes []route
	ports  []artnet.PortAddress // of the location

	universes map[sacn.Universe]stand // of the location
	numbers   []sacn.Universe         // the same, ascending
}

type route struct {
	way     *way
	carries []artnet.PortAddress
	ports   *portSet // the same
	targets link.Targets
}

// of is the route of a way; the zero route when it has none.
func (p *plan) of(w *way) route {
	for _, r := range p.routes {
		if r.way == w {
			return r
		}
	}
	return route{}
}

// New makes an Outlet that sends nothing until it is told to Use something.
func New(cfg Config) *Outlet {
	cfg.Name = cmp.Or(cfg.Name, "linkboy")
	if cfg.Logger == nil {
		cfg.Logger = slog.New(slog.DiscardHandler)
	}
	o := &Outlet{cfg: cfg, log: cfg.Logger, closing: map[string]chan struct{}{}}
	o.plan.Store(&plan{})
	o.watch = o.newWatch()
	return o
}

// Open tries every way out once, now, so that whoever starts the program is told
// at once. The error is that of the interface of the Config; the other ways out
// are tried again by Run, and named by Faults.
func (o *Outlet) Open() error {
	var own error
	for _, r := range o.plan.Load().routes {
		if err := r.way.try(); err != nil && r.way.own {
			own = cmp.Or(own, err)
		}
	}
	return own
}

// Run keeps the ways out open until ctx ends, and closes them. It runs once.
func (o *Outlet) Run(ctx context.Context) error {
	o.mu.Lock()
	if o.ctx != nil {
		o.mu.Unlock()
		return errors.New("outlet: Run is called twice")
	}
	o.ctx = ctx
	for _, r := range o.plan.Load().routes {
		r.way.start(ctx, o)
	}
	o.mu.Unlock()
	var watching sync.WaitGroup
	watching.Go(func() { o.watch.Run(ctx) })
	defer watching.Wait()
	tick := time.NewTicker(settleEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			o.Close()
			return nil
		case <-tick.C:
			o.settle()
		}
	}
}

// Close closes every way out, which ends the sACN streams. Nothing goes out
// any more.
func (o *Outlet) Close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.next = nil
	old := o.plan.Swap(&plan{})
	for _, r := range old.routes {
		o.drop(r.way)
	}
	o.dropped.Wait()
}

// SendFrame sends a frame: slots[i] are the bytes of port-address addresses[i],
// each the ways that carry it. It keeps nothing of its arguments, takes no
// lock, and allocates nothing for a frame of a shape it had before. The error is
// the first of all ways, which do not wait for each other.
func (o *Outlet) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return o.send(addresses, slots, first, false)
}

// Preview takes frames of a dry run: they go, marked as such, the ways that ask
// for them.
func (o *Outlet) Preview() *Preview { return &Preview{o} }

// Preview is an Outlet for frames that lamps must not show.
type Preview struct{ outlet *Outlet }

// SendFrame is that of Outlet, for a dry run.
func (p *Preview) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return p.outlet.send(addresses, slots, first, true)
}

func (o *Outlet) send(addresses []uint16, slots [][]byte, first, preview bool) error {
	if len(addresses) != len(slots) {
		return fmt.Errorf("outlet: a frame has %d port-addresses but slots for %d", len(addresses), len(slots))
	}
	o.sent.Add(1)
	var bad error
	routes := o.plan.Load().routes
	for i := range routes {
		if r := &routes[i]; !preview || r.way.preview {
			if err := r.way.send(r.ports, addresses, slots, first, preview); err != nil {
				bad = cmp.Or(bad, err)
			}
		}
	}
	return bad
}

// Fault is a way out that does not take frames, or not all of them.
type Fault struct {
	Output string // "Art-Net by eth1"
	Err    error
}

// Faults lists the ways out that are not open, or that failed a frame within
// the last seconds, and why.
func (o *Outlet) Faults() []Fault {
	var all []Fault
	for _, r := range o.plan.Load().routes {
		if err := r.way.trouble(); err != nil {
			all = append(all, Fault{r.way.name, err})
		}
	}
	return all
}

// Lines say, a line each, where the ways out send from.
func (o *Outlet) Lines() []string {
	var all []string
	for _, r := range o.plan.Load().routes {
		switch d := r.way.device.Load(); {
		case d == nil && r.way.trouble() != nil:
			all = append(all, r.way.trouble().Error())
		case d != nil:
			all = append(all, fmt.Sprintf("%v from %v", r.way.over, (*d).Local()))
		}
	}
	return all
}

// Links are the Art-Net links that are open.
func (o *Outlet) Links() []*link.Link { return open[*link.Link](o) }

// open lists the open devices of a kind.
func open[D device](o *Outlet) []D {
	var all []D
	for _, r := range o.plan.Load().routes {
		if d := r.way.device.Load(); d != nil {
			if d, ok := (*d).(D); ok {
				all = append(all, d)
			}
		}
	}
	return all
}

// Nodes lists the Art-Net devices that have answered by any interface, by
// address.
func (o *Outlet) Nodes() []link.NodeInfo {
	var all []link.NodeInfo
	for _, l := range o.Links() {
		all = append(all, l.Nodes()...)
	}
	slices.SortStableFunc(all, func(a, b link.NodeInfo) int { return a.Addr.Compare(b.Addr) })
	return all
}

// Sources lists the other controllers that send ArtDmx for port-addresses of
// ours by any interface, by address.
func (o *Outlet) Sources() []link.Source {
	var all []link.Source
	for _, l := range o.Links() {
		all = append(all, l.Sources()...)
	}
	slices.SortStableFunc(all, func(a, b link.Source) int { return a.Addr.Compare(b.Addr) })
	return all
}

// Shared reports whether another program polls from the address of one of the
// links, so that silence of a node proves nothing.
func (o *Outlet) Shared() bool {
	return slices.ContainsFunc(o.Links(), (*link.Link).Shared)
}

// Elsewhere lists the port-addresses of the location that do not need an Art-Net
// node to answer for them, ascending: they go to named devices, by broadcast or
// over sACN, whatever else.
func (o *Outlet) Elsewhere() []artnet.PortAddress {
	var all []artnet.PortAddress
	p := o.plan.Load()
	for _, r := range p.routes {
		for _, port := range r.carries {
			if _, named := r.targets.Each[port]; named || r.way.over != ArtNet {
				all = append(all, port)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}
