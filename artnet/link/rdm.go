package link

import (
	"net/netip"
	"slices"

	"linkboy/artnet"
)

// takeRDM hands a packet to who handles RDM.
func (l *Link) takeRDM(from netip.AddrPort, p artnet.Packet) {
	if l.cfg.RDM == nil {
		l.count.opCode.Add(1)
		return
	}
	l.mu.Lock()
	at := l.table.place(from)
	l.mu.Unlock()
	if !l.cfg.RDM(at, p) {
		l.count.full.Add(1)
	}
}

// SendRDM sends an ArtTodRequest, ArtTodControl or ArtRdm: to one device, or by
// directed broadcast where to is the zero AddrPort. Where the network has no
// broadcast it goes to every device known. It may wait as long as a frame may,
// and holds up no frame.
func (l *Link) SendRDM(to netip.AddrPort, p artnet.Packet) error {
	b, err := p.AppendBinary(nil)
	if err != nil {
		return err
	}
	w := *l.current.Load()
	if to.IsValid() {
		return l.write(w, b, to)
	}
	l.mu.Lock()
	targets := slices.Clone(l.table.named)
	l.mu.Unlock()
	if all := w.Broadcast(); all.IsValid() {
		targets = append([]netip.AddrPort{all}, targets...)
	} else if len(targets) == 0 {
		for _, n := range l.Nodes() {
			targets = append(targets, n.Addr)
		}
	}
	for _, to := range targets {
		if e := l.write(w, b, to); e != nil {
			err = e
		}
	}
	return err
}

// FoundTaken reports whether another program had the address and port when the
// sockets were opened: answers then reach only one of the two.
func (l *Link) FoundTaken() bool { return (*l.current.Load()).Shared() }
