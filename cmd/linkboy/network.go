package main

import (
	"fmt"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outlet"
	"linkboy/artnet/survey"
	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/server"
)

// portsOf lists the port-addresses that the show uses at any location,
// ascending.
func portsOf(show *cues.Show) []artnet.PortAddress {
	var ports []artnet.PortAddress
	for _, loc := range show.Locations {
		ports = append(ports, portsAt(loc)...)
	}
	slices.Sort(ports)
	return slices.Compact(ports)
}

// portsAt lists the port-addresses of a location's rig, ascending.
func portsAt(loc *cues.Location) []artnet.PortAddress {
	var ports []artnet.PortAddress
	for _, lamp := range loc.Rig {
		ports = append(ports, artnet.PortAddress(lamp.Address.Port))
	}
	slices.Sort(ports)
	return slices.Compact(ports)
}

// lampsOn names the lamps of locations on a port-address.
func lampsOn(locations ...*cues.Location) func(artnet.PortAddress) []string {
	return func(a artnet.PortAddress) []string {
		var names []string
		for _, loc := range locations {
			for _, lamp := range loc.Rig {
				if artnet.PortAddress(lamp.Address.Port) == a {
					names = append(names, lamp.ID)
				}
			}
		}
		return names
	}
}

// networkView is what is known of the lamps' network; *outlet.Outlet has it.
type networkView interface {
	Nodes() []link.NodeInfo
	Sources() []link.Source
	Streams() []outlet.Stream
	Elsewhere() []artnet.PortAddress
	Shared() bool
	Faults() []outlet.Fault
}

// codeOutputDown is the warning of a way out that does not take frames.
const codeOutputDown = "output-down"

// networkWarnings says what is odd on the lamps' network as things stand.
func networkWarnings(wire networkView, show func() *cues.Show) func(addresses []uint16) []session.Warning {
	return func(addresses []uint16) []session.Warning {
		used := make([]artnet.PortAddress, len(addresses))
		for i, a := range addresses {
			used[i] = artnet.PortAddress(a)
		}
		found := survey.Warnings(wire.Nodes(), wire.Sources(), survey.Place{
			Used: used, Show: portsOf(show()), Elsewhere: wire.Elsewhere(), Streams: wire.Streams(), Shared: wire.Shared(),
		})
		var warnings []session.Warning
		for _, f := range wire.Faults() {
			warnings = append(warnings, session.Warning{
				Code: codeOutputDown, Where: f.Output, Message: "an output does not send: " + f.Err.Error(),
				Why: "what goes only this way does not reach its lamps", Mend: "check that interface and its cable; it is tried again by itself",
			})
		}
		for _, w := range found {
			warnings = append(warnings, session.Warning{Code: string(w.Code), Message: w.Message, Why: w.Why, Where: w.Where, Mend: w.Mend})
		}
		return warnings
	}
}

// nodesOf is the node table as the page shows it.
func nodesOf(wire networkView, software bool) []server.NodeInfo {
	var nodes []server.NodeInfo
	for _, n := range wire.Nodes() {
		if n.Style != artnet.StyleController || len(n.Ports) > 0 {
			nodes = append(nodes, nodeInfo(n, software))
		}
	}
	return nodes
}

// nodeInfo is a node in plain values and words.
func nodeInfo(n link.NodeInfo, software bool) server.NodeInfo {
	info := server.NodeInfo{
		Name: n.Name, LongName: n.LongName, IP: n.Addr.Addr().String(), Lost: n.Lost,
		LastSeenMS: time.Since(n.LastSeen).Milliseconds(), Software: software && n.Addr.Addr().IsLoopback(),
		Firmware: fmt.Sprintf("%d.%d", n.Firmware>>8, n.Firmware&0xff), MAC: survey.MAC(n.MAC), Esta: n.Esta, Oem: n.Oem,
		Indicators: n.Indicators.String(), Status: n.Status, Report: n.Report, Ports: []string{},
	}
	for _, port := range n.Ports {
		info.Ports = append(info.Ports, port.String())
	}
	for _, l := range n.Lines {
		direction := "in"
		if l.Output {
			direction = "out"
		}
		info.Lines = append(info.Lines, session.Line{
			Address: l.Address.String(), Direction: direction, Protocol: l.Protocol.String(), Page: int(l.BindIndex), Status: l.Words(),
		})
	}
	return info
}
