package artnet

import (
	"fmt"
	"strconv"
	"strings"
)

// PortAddress is the 15-bit number of a universe on the network, 0..32767:
// net (7 bits), sub-net (4 bits), universe (4 bits). Number n is sACN universe
// n. 0 is deprecated since revision 1.4dp, because sACN has no universe 0; it
// is still sent and taken where it is asked for.
type PortAddress uint16

// MaxPortAddress is the highest port-address, 127:15:15.
const MaxPortAddress PortAddress = 0x7fff

// NewPortAddress joins net 0..127, sub-net 0..15 and universe 0..15. Bits above
// those are dropped, as the standard asks for the switches of a reply.
func NewPortAddress(net, sub, universe uint8) PortAddress {
	return PortAddress(net&0x7f)<<8 | PortAddress(sub&0x0f)<<4 | PortAddress(universe&0x0f)
}

// Valid reports whether a is at most MaxPortAddress.
func (a PortAddress) Valid() bool { return a <= MaxPortAddress }

// Net is the upper 7 bits, 0..127.
func (a PortAddress) Net() uint8 { return uint8(a>>8) & 0x7f }

// Sub is the sub-net, 0..15.
func (a PortAddress) Sub() uint8 { return uint8(a>>4) & 0x0f }

// Universe is the lowest 4 bits, 0..15.
func (a PortAddress) Universe() uint8 { return uint8(a) & 0x0f }

// String is "net:sub-net:universe", all decimal: 291 is "1:2:3".
func (a PortAddress) String() string {
	return fmt.Sprintf("%d:%d:%d", a>>8, a.Sub(), a.Universe())
}

// ParsePortAddress reads "net:sub-net:universe" or the one number 0..32767.
func ParsePortAddress(text string) (PortAddress, error) {
	parts := strings.Split(text, ":")
	limits := []uint64{127, 15, 15}
	switch len(parts) {
	case 1:
		n, err := strconv.ParseUint(text, 10, 16)
		if err != nil || n > uint64(MaxPortAddress) {
			return 0, fmt.Errorf("artnet: %w: %q is neither a number 0..32767 nor net:sub-net:universe", ErrPortAddress, text)
		}
		return PortAddress(n), nil
	case 3:
		var fields [3]uint8
		for i, part := range parts {
			n, err := strconv.ParseUint(part, 10, 8)
			if err != nil || n > limits[i] {
				return 0, fmt.Errorf("artnet: %w: %q in %q, need 0..%d", ErrPortAddress, part, text, limits[i])
			}
			fields[i] = uint8(n)
		}
		return NewPortAddress(fields[0], fields[1], fields[2]), nil
	}
	return 0, fmt.Errorf("artnet: %w: %q has %d parts, need net:sub-net:universe", ErrPortAddress, text, len(parts))
}

// join makes a port-address of its net and its low byte.
func join(net, low uint8) PortAddress { return PortAddress(net&0x7f)<<8 | PortAddress(low) }

func (a PortAddress) check() error {
	if !a.Valid() {
		return fmt.Errorf("artnet: %w: got %d, at most %d", ErrPortAddress, uint16(a), MaxPortAddress)
	}
	return nil
}
