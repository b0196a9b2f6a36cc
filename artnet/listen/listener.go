package listen

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// Config says where to listen.
type Config struct {
	// Interface is this machine's interface to the lamps' network, by name or
	// address. With it Art-Net is what is sent to its address, and E1.31 what
	// comes over it. "" is every interface, and of Art-Net what no program with
	// an address of its own takes: so that nothing is taken away from one.
	Interface string
	// Port is the UDP port of Art-Net; 0 is artnet.Port.
	Port int
	// SACNPort is that of E1.31; 0 is sacn.Port. Any other serves only tests.
	SACNPort int
	// Universes are those of E1.31 whose multicast groups are joined. What is
	// sent by unicast is heard whatever its universe.
	Universes []sacn.Universe
}

// Listener brings a Table what arrives on this machine.
type Listener struct {
	*Table
	artNet  *peer.Sockets
	groups  *peer.Groups
	refused []error
}

// Open takes the ports and joins the groups. Errors say which address is at
// fault and which there are.
func Open(cfg Config) (*Listener, error) {
	if cfg.Port == 0 {
		cfg.Port = artnet.Port
	}
	if cfg.SACNPort == 0 {
		cfg.SACNPort = sacn.Port
	}
	all, err := peer.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("listen: %w", err)
	}
	on := peer.ForGroups(all)
	l := &Listener{Table: NewTable()}
	if cfg.Interface != "" {
		at, err := peer.Pick(all, cfg.Interface)
		if err != nil {
			return nil, fmt.Errorf("listen on %w", err)
		}
		on = []peer.Interface{at}
		l.artNet, err = peer.Open(at, uint16(cfg.Port))
		if err != nil {
			return nil, fmt.Errorf("listen for Art-Net: %w", err)
		}
	} else if l.artNet, err = peer.Everywhere(uint16(cfg.Port)); err != nil {
		return nil, fmt.Errorf("listen for Art-Net: %w", err)
	}
	var groups []netip.Addr
	for _, u := range cfg.Universes {
		groups = append(groups, u.Group())
	}
	groups = append(groups, sacn.DiscoveryUniverse.Group())
	l.groups, l.refused, err = peer.Join(uint16(cfg.SACNPort), groups, on)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("listen for sACN: %w", err), l.artNet.Close())
	}
	return l, nil
}

// Refused says which groups could not be joined on which interface.
func (l *Listener) Refused() []error { return l.refused }

// Shared reports whether another program has the Art-Net address too, so that
// what is sent to it by unicast reaches only one of the two.
func (l *Listener) Shared() bool { return l.artNet.Shared() }

// Local is where Art-Net is listened for.
func (l *Listener) Local() netip.AddrPort { return l.artNet.Local() }

// Run listens until ctx ends, then closes everything and returns nil, or what
// ended it.
func (l *Listener) Run(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	var errArtNet, errSACN error
	wait.Go(func() {
		defer cancel()
		errArtNet = l.artNet.Read(func(from netip.AddrPort, b []byte) { l.TakeArtNet(time.Now(), from.Addr(), b) })
	})
	wait.Go(func() {
		defer cancel()
		errSACN = l.groups.Read(func(from netip.AddrPort, b []byte) { l.TakeSACN(time.Now(), from.Addr(), b) })
	})
	<-ctx.Done()
	err := l.Close()
	wait.Wait()
	return errors.Join(errArtNet, errSACN, err)
}

// Close ends Run and gives up the ports. Closing again does nothing.
func (l *Listener) Close() error { return errors.Join(l.artNet.Close(), l.groups.Close()) }
