package source

import (
	"fmt"
	"log/slog"
	"net/netip"
	"os"
	"strings"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// Config says where a Source is on the network and how it shows there.
type Config struct {
	// Interface is this machine's interface to the lamps' network, by name or
	// address; "" leaves the choice to peer.Choose.
	Interface string
	// CID tells the source from every other; see NewCID.
	CID sacn.CID
	// Name is shown to people, at most 63 bytes; "linkboy" if empty.
	Name string
	// Priority is 0..200, of all universes. Receivers take the highest.
	// sacn.DefaultPriority unless someone says otherwise.
	Priority int
	// Sync is the synchronization address of frames of several universes; 0 for
	// none.
	Sync sacn.Universe
	// Offset is added to a port-address to give its universe.
	Offset int
	// To names receivers that get everything but universe lists by unicast; a
	// port of 0 is sacn.Port. When empty, each universe goes to its multicast
	// group.
	To []netip.AddrPort
	// TTL is how many networks multicast may pass; 0 is 1, the link alone.
	TTL int
	// NoLoop keeps multicast from listeners on this machine.
	NoLoop bool
	// Logger gets what Run has to say; nil discards it.
	Logger *slog.Logger
}

// complete fills in what is left out and checks the rest.
func (c Config) complete() (Config, sacn.Name, error) {
	if c.Name == "" {
		c.Name = "linkboy"
	}
	name, err := sacn.NewName(c.Name)
	switch {
	case err != nil:
		return c, name, fmt.Errorf("sACN source: %w", err)
	case c.CID == sacn.CID{}:
		return c, name, fmt.Errorf("sACN source: %w: it has none; make one with NewCID", sacn.ErrCID)
	case c.Priority < 0 || c.Priority > sacn.MaxPriority:
		return c, name, fmt.Errorf("sACN source: %w: got %d, need 0..%d", sacn.ErrPriority, c.Priority, sacn.MaxPriority)
	case c.Sync != 0 && !c.Sync.Valid():
		return c, name, fmt.Errorf("sACN source: %w: synchronization address %d, need 1..%d", sacn.ErrUniverse, c.Sync, sacn.MaxUniverse)
	case c.TTL < 0 || c.TTL > 255:
		return c, name, fmt.Errorf("sACN source: TTL %d: need 1..255", c.TTL)
	}
	c.TTL = max(c.TTL, 1)
	to := make([]netip.AddrPort, 0, len(c.To))
	for _, t := range c.To {
		addr := t.Addr().Unmap()
		if !addr.Is4() || addr.IsUnspecified() || addr.IsMulticast() {
			return c, name, fmt.Errorf("sACN source: send to %v: need the IPv4 address of a receiver", t)
		}
		port := t.Port()
		if port == 0 {
			port = sacn.Port
		}
		to = append(to, netip.AddrPortFrom(addr, port))
	}
	c.To = to
	if c.Logger == nil {
		c.Logger = slog.New(slog.DiscardHandler)
	}
	return c, name, nil
}

// space is the name space of NewCID, a random UUID made once for this program.
var space = sacn.CID{0x5b, 0x0e, 0x6c, 0x1f, 0x9a, 0x37, 0x4d, 0x52, 0x8e, 0x61, 0x2d, 0xc4, 0x70, 0xf3, 0x1b, 0x96}

// NewCID is the identifier of a source of this machine: the same for the same
// parts every time, and another for other parts or on another machine. Two
// sources that run at once must differ in a part.
func NewCID(parts ...string) sacn.CID {
	host, _ := os.Hostname() // "" where there is none: the hardware address still tells
	name := []string{host, hardware()}
	for _, p := range parts {
		name = append(name, fmt.Sprintf("%q", p)) // so that parts cannot run into each other
	}
	return sacn.NameCID(space, strings.Join(name, "\n"))
}

// hardware is the least hardware address of this machine's interfaces, for
// machines that have the same name.
func hardware() string {
	all, err := peer.Interfaces()
	if err != nil {
		return ""
	}
	var least [6]byte
	for _, i := range all {
		if i.MAC != [6]byte{} && (least == [6]byte{} || string(i.MAC[:]) < string(least[:])) {
			least = i.MAC
		}
	}
	return fmt.Sprintf("%x", least)
}

// universe is the universe of a port-address; false where it has none.
func (c Config) universe(port uint16) (sacn.Universe, bool) { return UniverseOf(port, c.Offset) }

// UniverseOf is the sACN universe of a port-address with an offset; false where
// it has none.
func UniverseOf(port uint16, offset int) (sacn.Universe, bool) {
	n := int(port) + offset
	if n < 1 || n > int(sacn.MaxUniverse) {
		return 0, false
	}
	return sacn.Universe(n), true
}
