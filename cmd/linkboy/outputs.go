package main

import (
	"fmt"
	"log/slog"
	"path/filepath"
	"slices"

	"linkboy/artnet"
	"linkboy/artnet/outlet"
	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
	"linkboy/cues"
)

// outputsOf is how a location's universes go out: as it says, else over Art-Net
// to the nodes that answer; with sACN besides where that is asked for and it
// says nothing of sACN itself.
func outputsOf(loc *cues.Location, withSACN bool, log *slog.Logger) (outputs []outlet.Output, ports []artnet.PortAddress) {
	ports = portAddresses(loc.Ports())
	for _, o := range loc.Outputs {
		outputs = append(outputs, outputOf(o))
	}
	if loc.Outputs == nil {
		outputs = append(outputs, outlet.Output{Over: outlet.ArtNet})
	}
	said := slices.ContainsFunc(loc.Outputs, func(o *cues.Output) bool { return o.Over == cues.SACN })
	if withSACN && !said {
		outputs = append(outputs, outlet.Output{Over: outlet.SACN, Priority: sacn.DefaultPriority})
		for _, p := range loc.Ports() {
			if _, ok := source.UniverseOf(p, 0); !ok {
				log.Warn("--sacn leaves a universe out: sACN has no universe 0", "location", loc.Name, "universe", cues.PortText(p),
					"mend", "put its lamps on another universe, or give the location an output over sacn with an offset")
			}
		}
	}
	return outputs, ports
}

func outputOf(o *cues.Output) outlet.Output {
	over := outlet.ArtNet
	if o.Over == cues.SACN {
		over = outlet.SACN
	}
	return outlet.Output{
		Ports: portAddresses(o.Universes), Over: over, Interface: o.Interface, To: o.To, Broadcast: o.Broadcast, Sync: o.Sync,
		Priority: o.Priority, SyncAddress: sacn.Universe(o.SyncAddress), Offset: o.Offset, TTL: o.TTL, Preview: o.Preview,
	}
}

// portAddresses keeps nil, which stands for all.
func portAddresses(numbers []uint16) []artnet.PortAddress {
	var ports []artnet.PortAddress
	for _, n := range numbers {
		ports = append(ports, artnet.PortAddress(n))
	}
	return ports
}

// interfaceOf is the interface of this machine that a person means.
func interfaceOf(text string) (peer.Interface, error) {
	all, err := peer.Interfaces()
	if err != nil {
		return peer.Interface{}, err
	}
	i, err := peer.Pick(all, text)
	if err != nil {
		return i, fmt.Errorf("--artnet-bind: %w", err)
	}
	return i, nil
}

// identity tells the show from others on this machine: it is its folder, save
// for a demo that keeps none.
func (f *daemonFlags) identity(show *cues.Show) string {
	if f.passing {
		return show.Title
	}
	if dir, err := filepath.Abs(show.Dir); err == nil {
		return dir
	}
	return show.Dir
}
