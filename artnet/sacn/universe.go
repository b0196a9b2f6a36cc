package sacn

import (
	"fmt"
	"net/netip"
)

// Port is the UDP port, ACN_SDT_MULTICAST_PORT of ANSI E1.31 Appendix A.
const Port = 5568

// Universe is the number of a universe, ANSI E1.31 section 6.2.7: 1..63999. A
// synchronization address is one too, with 0 for "not synchronized".
type Universe uint16

const (
	// MaxUniverse is the highest universe that carries data.
	MaxUniverse Universe = 63999
	// DiscoveryUniverse is where universe discovery goes,
	// E131_DISCOVERY_UNIVERSE. It carries no data.
	DiscoveryUniverse Universe = 64214
)

// Valid reports whether u is 1..63999.
func (u Universe) Valid() bool { return u >= 1 && u <= MaxUniverse }

// Group is the IPv4 multicast group of a universe, 239.255.hi.lo, ANSI E1.31
// section 9.
func (u Universe) Group() netip.Addr {
	return netip.AddrFrom4([4]byte{239, 255, byte(u >> 8), byte(u)})
}

// Group6 is the IPv6 multicast group of a universe, ff18::8300:hilo, ANSI E1.31
// section 9.
func (u Universe) Group6() netip.Addr {
	return netip.AddrFrom16([16]byte{0: 0xff, 1: 0x18, 12: 0x83, 14: byte(u >> 8), 15: byte(u)})
}

func (u Universe) check(kind Kind) error {
	if !u.Valid() {
		return fmt.Errorf("sacn: %v: %w: got %d, need 1..%d", kind, ErrUniverse, uint16(u), MaxUniverse)
	}
	return nil
}
