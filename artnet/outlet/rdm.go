package outlet

import (
	"cmp"
	"errors"
	"fmt"
	"net/netip"
	"slices"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

// SendRDM sends an ArtTodRequest, ArtTodControl or ArtRdm: to one node, by the
// interface on which it has answered, or by directed broadcast on every one where
// to is the zero AddrPort.
func (o *Outlet) SendRDM(to netip.AddrPort, p artnet.Packet) error {
	links := o.Links()
	if len(links) == 0 {
		return errors.New("outlet: no way out over Art-Net is open, and RDM needs one")
	}
	if !to.IsValid() {
		var bad error
		for _, l := range links {
			bad = cmp.Or(bad, l.SendRDM(to, p))
		}
		return bad
	}
	for _, l := range links {
		if slices.ContainsFunc(l.Nodes(), func(n link.NodeInfo) bool { return n.Addr == to }) {
			return l.SendRDM(to, p)
		}
	}
	return fmt.Errorf("outlet: no node at %v has answered", to)
}
