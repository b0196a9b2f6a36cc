package survey

import (
	"fmt"
	"slices"
	"strings"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outlet"
)

// Code is a kind of warning; scripts may branch on it.
type Code string

// The warnings.
const (
	NoNode        Code = "no-node"                // nobody has answered
	NodeLost      Code = "node-lost"              // one stopped answering
	Unserved      Code = "port-address-unclaimed" // lamps, but no node
	Unused        Code = "port-address-unused"    // a node, but no lamps
	Twins         Code = "address-twice"          // two devices, one IP address
	OtherSource   Code = "other-controller"       // somebody else sends what we send
	OtherStream   Code = "other-sacn-source"      // somebody else sends it over sACN
	Merging       Code = "node-merging"           // a node hears somebody else too
	FollowsSACN   Code = "node-follows-sacn"      // a node that does not listen to Art-Net
	Trouble       Code = "node-trouble"           // a node says that something is wrong
	AddressShared Code = "art-net-shared"         // another program has our address
)

// Warning is something that a person should know, with its mend.
type Warning struct {
	Code    Code
	Message string // what is so
	Why     string // what it does to the light
	Where   string // an IP address or a port-address
	Mend    string
}

// Place is what a show asks of the network and how it is sent there.
type Place struct {
	// Used are the port-addresses that have lamps here, ascending.
	Used []artnet.PortAddress
	// Show are those that have lamps at any location of the show; nil is Used.
	// A node set up for the next place is in order at this one.
	Show []artnet.PortAddress
	// Lamps names the lamps on a port-address, for the words of a warning; nil
	// names none.
	Lamps func(artnet.PortAddress) []string
	// Elsewhere are those of Used that need no node to answer for them: they go
	// out by broadcast, over sACN or to devices named for them.
	Elsewhere []artnet.PortAddress
	// Streams are other sources of sACN that send universes of the place.
	Streams []outlet.Stream
	// Shared: another program on this machine takes answers away.
	Shared bool
}

// Warnings lists what is odd, the gravest first. Nodes and sources are as
// link.Link gives them.
func Warnings(nodes []link.NodeInfo, sources []link.Source, p Place) []Warning {
	devices := slices.DeleteFunc(slices.Clone(nodes), func(n link.NodeInfo) bool { return n.Style == artnet.StyleController && len(n.Ports) == 0 })
	var all []Warning
	all = append(all, missing(devices, p)...)
	all = append(all, others(sources)...)
	all = append(all, streams(p.Streams)...)
	for _, n := range devices {
		all = append(all, of(n, p)...)
	}
	all = append(all, unused(devices, p)...)
	if p.Shared {
		all = append(all, Warning{
			Code: AddressShared, Where: "this machine",
			Message: "another program on this machine uses the same Art-Net address",
			Why:     "the system gives the nodes' answers to only one of the two, so a lost node cannot be told",
			Mend:    "stop the other program, or give it an address of its own",
		})
	}
	return all
}

// missing says who stopped answering and which lamps nobody serves.
func missing(devices []link.NodeInfo, p Place) []Warning {
	if len(devices) == 0 {
		if len(p.Used) > 0 && len(p.without(nil, p.Used)) == 0 {
			return nil // nothing waits for a node
		}
		return []Warning{{
			Code: NoNode, Where: "network",
			Message: "no node has answered: nothing reaches the lamps",
			Why:     "frames go only to nodes that answer a poll",
			Mend:    "check that nodes have power and are on this machine's network, or name them with --artnet-to",
		}}
	}
	var all []Warning
	served := servedBy(devices, false)
	for _, n := range devices {
		if !n.Lost {
			continue
		}
		w := Warning{
			Code: NodeLost, Where: n.Addr.Addr().String(),
			Message: fmt.Sprintf("node %q stopped answering", n.Name),
			Why:     "no lamp here hangs on it alone",
			Mend:    "check its power and its cable",
		}
		if alone := p.without(served, n.Ports); len(alone) > 0 {
			w.Why = fmt.Sprintf("the lamps%s on %s hold what they had, or go as the node does without data", p.lamps(alone...), portList(alone))
		}
		all = append(all, w)
	}
	// What a lost node had is told with it.
	if none := p.without(servedBy(devices, true), p.Used); len(none) > 0 {
		w := Warning{
			Code: Unserved, Where: portList(none),
			Message: fmt.Sprintf("no node takes port-address %s%s: those lamps stay as they are", portList(none), p.lamps(none...)),
			Why:     "frames go only to the nodes that say they put a port-address out",
			Mend:    "set a node to it, or name one with --artnet-to",
		}
		if spare := twice(served, p.Used); spare != "" {
			w.Mend = "set a node to it; " + spare + ", so one of them may be meant for it"
		}
		all = append(all, w)
	}
	return all
}

// without are those of the port-addresses with lamps here that nobody serves
// and that go out by no other way.
func (p Place) without(served map[artnet.PortAddress][]string, ports []artnet.PortAddress) []artnet.PortAddress {
	var none []artnet.PortAddress
	for _, a := range ports {
		if len(served[a]) == 0 && slices.Contains(p.Used, a) && !slices.Contains(p.Elsewhere, a) {
			none = append(none, a)
		}
	}
	return none
}

// twice finds a port-address with lamps that several nodes put out. That is
// right where it is meant, so it is told only when another has none.
func twice(served map[artnet.PortAddress][]string, used []artnet.PortAddress) string {
	for _, a := range used {
		if len(served[a]) > 1 {
			return fmt.Sprintf("%s put out %v", list(served[a]), a)
		}
	}
	return ""
}

// others names who else sends to our port-addresses.
func others(sources []link.Source) []Warning {
	var all []Warning
	for _, s := range sources {
		who := s.Addr.String()
		if s.Name != "" {
			who = fmt.Sprintf("%q at %s", s.Name, who)
		}
		all = append(all, Warning{
			Code: OtherSource, Where: s.Addr.String(),
			Message: fmt.Sprintf("another controller, %s, sends to port-address %v, %.0f packets a second", who, s.PortAddress, s.Rate),
			Why:     "a node merges two controllers or follows one of them, so the light may not be the look's",
			Mend:    "stop it, or give it other port-addresses",
		})
	}
	return all
}

// streams names who else sends our universes over sACN.
func streams(list []outlet.Stream) []Warning {
	var all []Warning
	for _, s := range list {
		w := Warning{
			Code: OtherStream, Where: s.Addr.String(),
			Message: fmt.Sprintf("another sACN source, %q at %v, sends universe %d (%s), %.0f packets a second at priority %d",
				s.Name, s.Addr, s.Universe, portList(s.Ports), s.Rate, s.Priority),
			Why:  "a node that listens to sACN too may follow it, so the light may not be the look's",
			Mend: "stop it, or give it other universes",
		}
		switch {
		case s.Sent && s.Priority > s.Ours:
			w.Why = fmt.Sprintf("receivers follow it and not this show, which sends at priority %d", s.Ours)
		case s.Sent && s.Priority == s.Ours:
			w.Why = "receivers merge it with this show, which sends at the same priority"
		case s.Sent:
			w.Why = fmt.Sprintf("receivers follow this show, which sends at priority %d, for as long as it sends", s.Ours)
		}
		all = append(all, w)
	}
	return all
}

// of says what is odd about one device.
func of(n link.NodeInfo, p Place) []Warning {
	var all []Warning
	where := n.Addr.Addr().String()
	if n.Twin != [6]byte{} {
		all = append(all, Warning{
			Code: Twins, Where: where,
			Message: fmt.Sprintf("two devices answer from %s: %s and %s", where, MAC(n.MAC), MAC(n.Twin)),
			Why:     "the network brings a frame now to one, now to the other",
			Mend:    "give one of them another IP address",
		})
	}
	if n.Lost {
		return all
	}
	for _, l := range n.Lines {
		if !l.Output || !slices.Contains(p.Used, l.Address) {
			continue
		}
		if l.Merging {
			all = append(all, Warning{
				Code: Merging, Where: where,
				Message: fmt.Sprintf("node %q merges two sources on port-address %v", n.Name, l.Address),
				Why:     "another controller sends to it too, and the light is a mix of both",
				Mend:    "stop the other controller; the node lets go of it 10 s later",
			})
		}
		if l.FromSACN {
			all = append(all, Warning{
				Code: FollowsSACN, Where: where,
				Message: fmt.Sprintf("node %q follows sACN on port-address %v", n.Name, l.Address),
				Why:     "it does not listen to Art-Net there",
				Mend:    "set its port to Art-Net",
			})
		}
	}
	if trouble := artnet.ReportTrouble(n.Report); trouble != "" {
		all = append(all, Warning{
			Code: Trouble, Where: where,
			Message: fmt.Sprintf("node %q says: %s", n.Name, trouble),
			Why:     "its own report: " + n.Report,
			Mend:    "look at the node",
		})
	}
	return all
}

// unused says which nodes answer for port-addresses without a lamp. A place
// without any lamp asks for none.
func unused(devices []link.NodeInfo, p Place) []Warning {
	known := p.Show
	if known == nil {
		known = p.Used
	}
	if len(known) == 0 {
		return nil
	}
	var all []Warning
	for _, n := range devices {
		spare := slices.DeleteFunc(slices.Clone(n.Ports), func(a artnet.PortAddress) bool { return slices.Contains(known, a) })
		if n.Lost || len(spare) == 0 {
			continue
		}
		w := Warning{
			Code: Unused, Where: n.Addr.Addr().String(),
			Message: fmt.Sprintf("node %q answers for %s, where the show has no lamp", n.Name, portList(spare)),
			Why:     "nothing is sent to it",
			Mend:    "set it to a port-address of the rig, or leave it be if it is not needed",
		}
		if len(spare) < len(n.Ports) {
			w.Why, w.Mend = "nothing is sent to that output", "leave it be if that output is to spare"
		}
		all = append(all, w)
	}
	return all
}

// servedBy lists, for every port-address, the nodes that put it out; lost ones
// too if asked.
func servedBy(devices []link.NodeInfo, lost bool) map[artnet.PortAddress][]string {
	by := map[artnet.PortAddress][]string{}
	for _, n := range devices {
		if n.Lost && !lost {
			continue
		}
		for _, a := range n.Ports {
			by[a] = append(by[a], fmt.Sprintf("%q", n.Name))
		}
	}
	return by
}

// lamps names the lamps on port-addresses, " (a, b)"; "" when it cannot.
func (p Place) lamps(ports ...artnet.PortAddress) string {
	var names []string
	for _, a := range ports {
		if p.Lamps != nil {
			names = append(names, p.Lamps(a)...)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (" + shortList(names) + ")"
}

// named is how many names a sentence gives before it counts the rest.
const named = 4

func shortList(names []string) string {
	if len(names) <= named {
		return list(names)
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:named], ", "), len(names)-named)
}

func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

func portList(ports []artnet.PortAddress) string {
	names := make([]string, len(ports))
	for i, a := range ports {
		names[i] = a.String()
	}
	return shortList(names)
}

// MAC writes a hardware address; "" for none.
func MAC(m [6]byte) string {
	if m == [6]byte{} {
		return ""
	}
	return fmt.Sprintf("%02x:%02x:%02x:%02x:%02x:%02x", m[0], m[1], m[2], m[3], m[4], m[5])
}
