package outlet

import (
	"fmt"
	"net/netip"
	"slices"
	"strings"

	"linkboy/artnet"
	"linkboy/artnet/sacn"
)

// Protocol is how universes travel.
type Protocol uint8

// The protocols.
const (
	ArtNet Protocol = iota
	SACN
)

// String is the protocol's name.
func (p Protocol) String() string {
	if p == SACN {
		return "sACN"
	}
	return "Art-Net"
}

// Output says how some universes of a location go out.
type Output struct {
	Ports []artnet.PortAddress // nil for all of the location
	Over  Protocol
	// Interface is this machine's interface, by name or address; "" for
	// Config.Interface.
	Interface string
	// To names the receivers. When empty, Art-Net goes to Config.To, else to the
	// nodes that answer for a port-address, and sACN to multicast groups.
	To []netip.AddrPort

	// Of Art-Net: see link.Target and link.Targets.
	Broadcast bool
	Sync      bool

	// Of sACN: see source.Config. Preview sends dry runs too.
	Priority    int
	SyncAddress sacn.Universe
	Offset      int
	TTL         int
	Preview     bool
}

// carries are the port-addresses of a location that the output has.
func (o *Output) carries(ports []artnet.PortAddress) []artnet.PortAddress {
	if o.Ports == nil {
		return ports
	}
	var both []artnet.PortAddress
	for _, p := range o.Ports {
		if slices.Contains(ports, p) {
			both = append(both, p)
		}
	}
	return both
}

// key tells ways out from each other: outputs of one key share one. Links differ
// by interface alone, for one interface has one Art-Net port.
func (o *Output) key() string {
	if o.Over == ArtNet {
		return "Art-Net " + o.Interface
	}
	return fmt.Sprintf("sACN %q %v priority %d sync %d offset %d ttl %d preview %t",
		o.Interface, o.To, o.Priority, o.SyncAddress, o.Offset, o.TTL, o.Preview)
}

// String is the output for a person, without its universes.
func (o *Output) String() string {
	by := o.Interface
	if by == "" {
		by = "the interface that is found"
	}
	text := fmt.Sprintf("%v by %s", o.Over, by)
	if o.Over == SACN && len(o.To) > 0 {
		var to []string
		for _, t := range o.To {
			to = append(to, t.Addr().String())
		}
		text += " to " + strings.Join(to, ", ")
	}
	return text
}
