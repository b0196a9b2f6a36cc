package peer

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"runtime"
	"slices"
	"strings"
)

// loopbackBroadcasts: 127.255.255.255 reaches every socket bound to it.
const loopbackBroadcasts = runtime.GOOS == "linux"

// ErrNoInterface is an address or a name that no interface of this machine has.
var ErrNoInterface = errors.New("no network interface has this address")

// Interface is one IPv4 address of this machine and the network around it.
type Interface struct {
	Name   string
	Prefix netip.Prefix // the address itself and the length of its network
	MAC    [6]byte      // zero where there is none
	Up     bool
	// CanBroadcast is false on point-to-point links and tunnels.
	CanBroadcast bool
	Loopback     bool
}

// Interfaces lists the IPv4 addresses of this machine.
func Interfaces() ([]Interface, error) {
	all, err := net.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("list network interfaces: %w", err)
	}
	var found []Interface
	for _, in := range all {
		addrs, err := in.Addrs()
		if err != nil {
			continue // the interface went away since it was listed
		}
		for _, a := range addrs {
			ipnet, ok := a.(*net.IPNet)
			if !ok || ipnet.IP.To4() == nil {
				continue
			}
			bits, _ := ipnet.Mask.Size()
			i := Interface{
				Name:         in.Name,
				Prefix:       netip.PrefixFrom(netip.AddrFrom4([4]byte(ipnet.IP.To4())), bits),
				Up:           in.Flags&net.FlagUp != 0,
				CanBroadcast: in.Flags&net.FlagBroadcast != 0,
				Loopback:     in.Flags&net.FlagLoopback != 0,
			}
			copy(i.MAC[:], in.HardwareAddr)
			found = append(found, i)
		}
	}
	return found, nil
}

// Addr is the interface's own address.
func (i Interface) Addr() netip.Addr { return i.Prefix.Addr() }

// Broadcast is the directed broadcast address, IP OR NOT mask:
// 192.168.0.1/24 has 192.168.0.255. It is the zero Addr where the network is
// too small for one or the interface cannot broadcast. On Linux loopback can,
// though its flags do not say so.
func (i Interface) Broadcast() netip.Addr {
	can := i.CanBroadcast || i.Loopback && loopbackBroadcasts
	if !i.Prefix.IsValid() || !i.Addr().Is4() || i.Prefix.Bits() > 30 || !can {
		return netip.Addr{}
	}
	ip := i.Addr().As4()
	for bit := i.Prefix.Bits(); bit < 32; bit++ {
		ip[bit/8] |= 0x80 >> (bit % 8)
	}
	return netip.AddrFrom4(ip)
}

// Find is the interface with address addr. Any address of the loopback network
// will do where loopback has it, such as 127.0.0.2. Errors wrap ErrNoInterface.
func Find(all []Interface, addr netip.Addr) (Interface, error) {
	var have []string
	for _, i := range all {
		if i.Addr() == addr {
			return i, nil
		}
		have = append(have, i.Addr().String())
	}
	for _, i := range all {
		if i.Loopback && i.Prefix.Contains(addr) {
			i.Prefix = netip.PrefixFrom(addr, i.Prefix.Bits())
			return i, nil
		}
	}
	return Interface{}, fmt.Errorf("%v: %w; use one of %s", addr, ErrNoInterface, strings.Join(have, ", "))
}

// Pick is the interface that a person means: by an address of it, as Find has
// it, or by its name, where it has several addresses the first. "" is the one
// that Choose picks. Errors wrap ErrNoInterface.
func Pick(all []Interface, text string) (Interface, error) {
	if text == "" {
		if i, ok := Choose(all); ok {
			return i, nil
		}
		return Interface{}, fmt.Errorf("%w: this machine has no IPv4 address at all; connect it to the lamps' network", ErrNoInterface)
	}
	if addr, err := netip.ParseAddr(text); err == nil {
		return Find(all, addr.Unmap())
	}
	var have []string
	for _, i := range all {
		if i.Name == text {
			return i, nil
		}
		have = append(have, fmt.Sprintf("%s (%v)", i.Name, i.Addr()))
	}
	return Interface{}, fmt.Errorf("%s: %w or name, with IPv4; use one of %s", text, ErrNoInterface, strings.Join(have, ", "))
}

// Choose picks the interface for lamps when nobody says which: one on the
// networks that Art-Net devices come with (2.0.0.0/8, then 10.0.0.0/8), else
// one with another private or self-assigned address, else any that can
// broadcast, else loopback. Only interfaces that are up count; of equals the
// first wins. ok is false when there is none at all.
func Choose(all []Interface) (chosen Interface, ok bool) {
	best := slices.MinFunc(append([]Interface{{}}, all...), func(a, b Interface) int { return rank(a) - rank(b) })
	return best, best.Prefix.IsValid()
}

var (
	primary   = netip.MustParsePrefix("2.0.0.0/8")
	secondary = netip.MustParsePrefix("10.0.0.0/8")
)

func rank(i Interface) int {
	switch addr := i.Addr(); {
	case !i.Prefix.IsValid() || !i.Up:
		return 9
	case i.Loopback:
		return 4
	case !i.Broadcast().IsValid():
		return 8
	case primary.Contains(addr):
		return 0
	case secondary.Contains(addr):
		return 1
	case addr.IsPrivate() || addr.IsLinkLocalUnicast():
		return 2
	}
	return 3
}

// ForGroups are the interfaces on which multicast may come: all that are up and
// can broadcast, and loopback.
func ForGroups(all []Interface) []Interface {
	var on []Interface
	for _, i := range all {
		if i.Up && (i.CanBroadcast || i.Loopback) {
			on = append(on, i)
		}
	}
	return on
}
