package link

import (
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
)

// NodeInfo is a device that has answered a poll.
type NodeInfo struct {
	Addr     netip.AddrPort // where its frames go
	Name     string         // short name
	LongName string
	Report   string               // its last status text
	Ports    []artnet.PortAddress // put out from Art-Net, ascending
	Lines    []Line               // every port and direction, by page
	Style    artnet.Style
	Firmware uint16
	Esta     uint16
	Oem      uint16
	MAC      [6]byte    // zero where it tells none
	BindIP   netip.Addr // of the root device, where it is another
	// Status is what the device's status bits say, in plain words.
	Status     []string
	Indicators artnet.Indicators
	// Twin is the MAC of another device that answers from the same address;
	// zero when there is none.
	Twin     [6]byte
	LastSeen time.Time
	Lost     bool // no answer in the standard's time
}

// Line is one direction of one port of a device.
type Line struct {
	artnet.ReplyPort
	BindIndex uint8 // the page it is on, from 1
}

type node struct {
	info  NodeInfo
	pages map[uint8]page // by BindIndex
	macs  macs
}

type page struct {
	outputs []artnet.PortAddress
	lines   []Line
	seen    time.Time
}

// describe takes what a page says about the device as a whole.
func (n *node) describe(at netip.AddrPort, index uint8, r *artnet.PollReply) {
	n.info.Addr = at
	n.info.Ports, n.info.Lines = n.outputs(), n.lines()
	if index != 1 && n.info.Name != "" {
		return // the root speaks for the device
	}
	n.info.Name = artnet.Printable(r.ShortName)
	n.info.LongName = artnet.Printable(r.LongName)
	n.info.Report = artnet.Printable(r.NodeReport)
	n.info.Style, n.info.Firmware = r.Style, r.Version
	n.info.Esta, n.info.Oem = r.EstaMan, r.Oem
	n.info.MAC, n.info.BindIP = r.MAC, netip.Addr{}
	if r.BindIP != at.Addr() && !r.BindIP.IsUnspecified() {
		n.info.BindIP = r.BindIP
	}
	n.info.Status, n.info.Indicators = r.StatusWords(), r.Indicators()
}

// outputs are the port-addresses of all pages, ascending, each once.
func (n *node) outputs() []artnet.PortAddress {
	var all []artnet.PortAddress
	for _, p := range n.pages {
		all = append(all, p.outputs...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// lines are the ports of all pages, by page.
func (n *node) lines() []Line {
	var all []Line
	for _, p := range n.pages {
		all = append(all, p.lines...)
	}
	slices.SortStableFunc(all, func(a, b Line) int { return int(a.BindIndex) - int(b.BindIndex) })
	return all
}

// linesOf are the ports of a page.
func linesOf(index uint8, r *artnet.PollReply) []Line {
	var lines []Line
	for _, p := range r.Ports(nil) {
		lines = append(lines, Line{p, index})
	}
	return lines
}

// twinFor is how long a second device with the same address is remembered: two
// polls and the time for their answers.
const twinFor = 2*pollEvery + replyWithin

// macs watches the MAC addresses that answer from one IP address. A device that
// took the place of another changes the MAC once; two that share an address by
// mistake change it to and fro.
type macs struct {
	now, before [6]byte
	twice       time.Time // when one came back after another
}

func (m *macs) heard(at time.Time, mac [6]byte) {
	switch {
	case mac == [6]byte{} || mac == m.now:
		return
	case mac == m.before:
		m.twice = at
	}
	m.now, m.before = mac, m.now
}

// twin is the MAC of the other device, or zero.
func (m *macs) twin(at time.Time) [6]byte {
	if m.twice.IsZero() || at.Sub(m.twice) > twinFor {
		return [6]byte{}
	}
	return m.before
}
