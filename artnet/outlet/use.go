package outlet

import (
	"maps"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/sacn/source"
)

// What is left behind gets frames that darken it, one with each frame: three when
// another location comes, some twenty when lamps leave the rig of the same one and
// fade. Then it is dropped. In a dry run no frames come.
const (
	settleEvery  = 50 * time.Millisecond
	settleFrames = 48
	settleMost   = 5 * time.Second
)

// Use changes to the outputs of a location with lamps on ports. It returns at
// once. It is to be called before the first frame of that location.
func (o *Outlet) Use(outputs []Output, ports []artnet.PortAddress) {
	o.mu.Lock()
	defer o.mu.Unlock()
	old := o.plan.Load()
	next := o.planOf(outputs, ports)
	between := next.after(old)
	o.plan.Store(between)
	o.next, o.since, o.at = next, time.Now(), o.sent.Load()
	between.aim()
	if o.ctx != nil {
		for _, r := range between.routes {
			r.way.start(o.ctx, o)
		}
	}
}

// planOf makes the plan of outputs, of ways that are there already or new ones.
func (o *Outlet) planOf(outputs []Output, ports []artnet.PortAddress) *plan {
	known := map[string]*way{}
	for _, r := range o.plan.Load().routes {
		known[r.way.key] = r.way
	}
	p := &plan{ports: ports}
	at := map[string]int{} // of routes
	for _, out := range outputs {
		own := out.Interface == "" || out.Interface == o.cfg.Interface
		if out.Interface == "" {
			out.Interface = o.cfg.Interface
		}
		if out.Over == ArtNet && len(out.To) == 0 && !out.Broadcast && own {
			out.To = o.cfg.To
		}
		key := out.key()
		i, ok := at[key]
		if !ok {
			i = len(p.routes)
			at[key] = i
			w := known[key]
			if w == nil {
				w = o.newWay(key, out, own)
			}
			p.routes = append(p.routes, route{way: w, targets: link.Targets{Each: map[artnet.PortAddress]link.Target{}}})
		}
		p.routes[i].add(&out, ports)
	}
	for i := range p.routes {
		p.routes[i].ports = setOf(p.routes[i].carries)
	}
	p.stands(outputs)
	return p
}

// add adds the universes of an output.
func (r *route) add(out *Output, ports []artnet.PortAddress) {
	carries := out.carries(ports)
	r.carries = append(r.carries, carries...)
	if out.Over != ArtNet {
		return
	}
	r.targets.Sync = r.targets.Sync || out.Sync
	if len(out.To) > 0 || out.Broadcast {
		for _, p := range carries {
			r.targets.Each[p] = link.Target{To: out.To, Broadcast: out.Broadcast}
		}
	}
}

func (o *Outlet) newWay(key string, out Output, own bool) *way {
	w := &way{key: key, name: out.String(), own: own, over: out.Over, preview: out.Preview, after: o.closing[key]}
	if out.Over == ArtNet {
		w.open = func() (device, error) {
			return opened(link.Open(link.Config{Interface: out.Interface, Port: o.cfg.Port, Name: o.cfg.Name, TimeCode: o.cfg.TimeCode, RDM: o.cfg.RDM, Logger: o.log}))
		}
		return w
	}
	cid := source.NewCID(o.cfg.Show, key)
	o.cids.Store(cid, struct{}{})
	w.open = func() (device, error) {
		return opened(source.Open(source.Config{
			Interface: out.Interface, CID: cid, Name: o.cfg.Name, Priority: out.Priority,
			Sync: out.SyncAddress, Offset: out.Offset, To: out.To, TTL: out.TTL, Logger: o.log,
		}))
	}
	return w
}

// opened keeps a nil pointer from becoming a device.
func opened[D device](d D, err error) (device, error) {
	if err != nil {
		return nil, err
	}
	return d, nil
}

// after is p with what old had besides: its ways out, and on each way the
// universes that the location of p does not have.
func (p *plan) after(old *plan) *plan {
	here := setOf(p.ports)
	both := &plan{ports: p.ports, universes: p.universes, numbers: p.numbers}
	for _, r := range p.routes {
		both.routes = append(both.routes, r.with(old.of(r.way), here))
	}
	for _, r := range old.routes {
		if p.of(r.way).way == nil {
			both.routes = append(both.routes, route{way: r.way}.with(r, here))
		}
	}
	return both
}

// with is r with the universes of old that are not here any more.
func (r route) with(old route, here *portSet) route {
	each := maps.Clone(r.targets.Each)
	if each == nil {
		each = map[artnet.PortAddress]link.Target{}
	}
	r.carries = slices.Clone(r.carries)
	for _, port := range old.carries {
		if here.has(uint16(port)) {
			continue
		}
		r.carries = append(r.carries, port)
		if to, named := old.targets.Each[port]; named {
			each[port] = to
		}
	}
	r.targets.Each, r.ports = each, setOf(r.carries)
	return r
}

func (p *plan) aim() {
	for _, r := range p.routes {
		r.way.aim(r.targets)
	}
}

// settle drops what the last Use left behind, when it is dark.
func (o *Outlet) settle() {
	o.mu.Lock()
	if o.next == nil || o.sent.Load()-o.at < settleFrames && time.Since(o.since) < settleMost {
		o.mu.Unlock()
		return
	}
	old := o.plan.Swap(o.next)
	next := o.next
	o.next = nil
	next.aim()
	for _, r := range old.routes {
		if next.of(r.way).way == nil {
			o.drop(r.way)
		}
	}
	o.mu.Unlock()
}

// drop closes a way in the background, as ending its streams takes a while. o.mu
// must be held.
func (o *Outlet) drop(w *way) {
	done := make(chan struct{})
	o.closing[w.key] = done
	o.dropped.Go(func() {
		w.stop()
		close(done)
	})
}
