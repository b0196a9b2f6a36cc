package link

import (
	"fmt"
	"log/slog"
	"net/netip"
	"time"

	"linkboy/artnet"
)

// Config says where a Link is on the network and how it shows there. The zero
// Config is a controller that finds its devices on the interface that
// peer.Choose picks.
type Config struct {
	// Bind is this machine's address on the lamps' network. The zero address
	// or 0.0.0.0 leaves the choice to Interface.
	Bind netip.Addr
	// Interface is the name of this machine's interface to the lamps' network,
	// or an address of it. Empty, it leaves the choice to peer.Choose. Both look
	// again each time the sockets are opened anew, as an address may change.
	Interface string
	// Port is the UDP port; 0 is artnet.Port. Any other serves only tests.
	Port int
	// To names devices that get every universe whether or not they answer
	// polls, and no other device gets any. A port of 0 is Port. When empty, a
	// universe goes to the devices that say they put it out.
	To []netip.AddrPort
	// Broadcast sends every universe to the directed broadcast address and none
	// to a single device, for devices that answer no poll and cannot be named.
	// Art-Net 4 forbids it ("ArtDmx packets must be unicast"): every device on
	// the network, lamp or not, must take every universe, and on a radio link
	// broadcasts are slow and not repeated when lost. Not together with To.
	Broadcast bool
	// Sync ends every frame with an ArtSync by directed broadcast, when there is
	// more than one universe: devices then put out all of a frame together.
	// It is not the default, because no reply says that a device knows it, a
	// lost ArtSync holds the frame back until the next, and a device that had
	// one waits up to 4 s for another.
	Sync bool
	// InARow is how many datagrams of a frame a device gets without a pause;
	// 0 is 8. See pacer.go for what follows.
	InARow int
	// Name is shown by other Art-Net devices; "linkboy" if empty. The first
	// 17 bytes are the short name.
	Name string
	// Firmware is the version number other devices are told.
	Firmware uint16
	// TimeCode hears every ArtTimeCode that arrives, in the goroutine that
	// receives: it must not block, and the packet is its own. nil for nobody.
	TimeCode func(from netip.AddrPort, code *artnet.TimeCode)
	// RDM takes the tables of RDM devices and the RDM messages that devices
	// send: an *artnet.TodData or an *artnet.Rdm, whose Message must not be
	// kept; from is where the device is reached. It is called where the sockets
	// are read, perhaps from two goroutines at once, so it must not wait; false
	// says that there was no room, which is counted. nil for nobody.
	RDM func(from netip.AddrPort, p artnet.Packet) bool
	// Logger gets what Run has to say; nil discards it.
	Logger *slog.Logger
	// AnswerDelay is how long to wait before an ArtPoll is answered; nil is a
	// random time up to a second, as the standard asks.
	AnswerDelay func() time.Duration
}

// complete fills in what is left out and checks the rest.
func (c Config) complete() (Config, error) {
	if c.Port == 0 {
		c.Port = artnet.Port
	}
	if c.Port < 0 || c.Port > 65535 {
		return c, fmt.Errorf("artnet link: port %d: need 1..65535", c.Port)
	}
	if c.Bind.IsValid() && !c.Bind.Unmap().Is4() {
		return c, fmt.Errorf("artnet link: bind to %v: Art-Net needs an IPv4 address", c.Bind)
	}
	c.Bind = c.Bind.Unmap()
	if c.Broadcast && len(c.To) > 0 {
		return c, fmt.Errorf("artnet link: send by broadcast and to %v: choose one", c.To[0])
	}
	if c.InARow < 0 {
		return c, fmt.Errorf("artnet link: %d datagrams in a row: need 1 or more, 0 for %d", c.InARow, inARow)
	}
	if c.InARow == 0 {
		c.InARow = inARow
	}
	to := make([]netip.AddrPort, 0, len(c.To))
	for _, t := range c.To {
		addr := t.Addr().Unmap()
		if !addr.Is4() || addr.IsUnspecified() {
			return c, fmt.Errorf("artnet link: send to %v: need the IPv4 address of a device", t)
		}
		if addr == netip.AddrFrom4([4]byte{255, 255, 255, 255}) {
			return c, fmt.Errorf("artnet link: send to %v: Art-Net never broadcasts to everyone; name a device's address", t)
		}
		port := t.Port()
		if port == 0 {
			port = uint16(c.Port)
		}
		to = append(to, netip.AddrPortFrom(addr, port))
	}
	c.To = to
	if c.Name == "" {
		c.Name = "linkboy"
	}
	if c.Logger == nil {
		c.Logger = slog.New(slog.DiscardHandler)
	}
	return c, nil
}
