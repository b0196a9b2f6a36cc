package cues

import (
	"net/netip"
	"slices"
)

// Protocol is how universes travel.
type Protocol string

// The protocols.
const (
	ArtNet Protocol = "art-net" // Art-Net 4
	SACN   Protocol = "sacn"    // ANSI E1.31
)

// DefaultPriority is that of ANSI E1.31 section 6.2.3.
const DefaultPriority = 100

// Output says how some universes of a location travel to its lamps.
type Output struct {
	// Universes are port-addresses, ascending; nil for all.
	Universes []uint16
	Over      Protocol
	// Interface is this machine's interface to the lamps' network, by name or
	// address; "" for the one that the command is told.
	Interface string
	// To names the receivers, with port 0 for the protocol's own. When empty,
	// Art-Net goes to the nodes that answer for a universe and sACN to its
	// multicast group.
	To []netip.AddrPort

	// Of Art-Net: Broadcast sends to every device of the network, and
	// Sync an ArtSync after a frame of several universes.
	Broadcast bool
	Sync      bool

	// Of sACN. SyncAddress is 0 for no synchronization. Offset added to a
	// port-address gives the universe. TTL is how many networks multicast may
	// pass, 0 for the link alone. Preview sends dry runs too, marked as such.
	Priority    int
	SyncAddress uint16
	Offset      int
	TTL         int
	Preview     bool

	At Pos
}

// Carries reports whether the output has a universe.
func (o *Output) Carries(port uint16) bool {
	if o.Universes == nil {
		return true
	}
	_, ok := slices.BinarySearch(o.Universes, port)
	return ok
}

// Ports lists the port-addresses of the location's lamps, ascending.
func (l *Location) Ports() []uint16 {
	var ports []uint16
	for _, r := range l.Rig {
		ports = append(ports, r.Address.Port)
	}
	slices.Sort(ports)
	return slices.Compact(ports)
}

// MaxSACNUniverse is the highest universe of ANSI E1.31 that carries data.
const MaxSACNUniverse = 63999

// SACNUniverse is the sACN universe of a port-address, 1..MaxSACNUniverse; false
// where it has none. Art-Net 4 gives the mapping: the same number. Offset moves it.
func (o *Output) SACNUniverse(port uint16) (int, bool) {
	n := int(port) + o.Offset
	return n, n >= 1 && n <= MaxSACNUniverse
}
