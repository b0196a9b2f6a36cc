package link

import (
	"net/netip"

	"linkboy/artnet"
)

// asked reports whether a poll wants an answer from us.
func (l *Link) asked(p *artnet.Poll) bool {
	if p.Flags&artnet.PollTargeted == 0 {
		return true
	}
	for _, a := range *l.sourced.Load() {
		if p.Asks(a) {
			return true
		}
	}
	return false
}

// answer tells the controller at to what we are.
func (l *Link) answer(to netip.AddrPort) {
	w := *l.current.Load()
	var packet []byte
	for _, r := range describe(l.cfg, w, *l.sourced.Load()) {
		r.NodeReport = artnet.NodeReport(1, l.replies.Add(1), "Running")
		var err error
		if packet, err = r.AppendBinary(packet[:0]); err != nil {
			l.cfg.Logger.Error("cannot make an ArtPollReply", "error", err)
			return
		}
		if l.write(w, packet, to) != nil {
			return // counted, and logged by reportFaults
		}
	}
}

// describe is what a controller says about itself: the universes it sources as
// inputs, not outputs, lest others stream to it. Up to four of the same net and
// sub-net share a page; a page index ends at 255.
func describe(cfg Config, w wire, sourced []artnet.PortAddress) []artnet.PollReply {
	root := artnet.PollReply{
		IP:        w.Local().Addr(),
		Port:      w.Local().Port(),
		Version:   cfg.Firmware,
		Oem:       artnet.UnknownOem,
		Status1:   artnet.IndicatorsNormal | artnet.AddressLocal,
		EstaMan:   artnet.PrototypeEsta,
		ShortName: cut(cfg.Name, artnet.MaxShortName),
		LongName:  cut(cfg.Name, artnet.MaxLongName),
		Style:     artnet.StyleController,
		MAC:       w.Interface().MAC,
		BindIP:    w.Local().Addr(),
		BindIndex: 1,
		Status2:   artnet.Address15Bit,
	}
	pages := []artnet.PollReply{root}
	last := &pages[0]
	for _, a := range sourced {
		sameSub := last.NetSwitch == a.Net() && last.SubSwitch == a.Sub()
		if last.NumPorts > 0 && (!sameSub || last.NumPorts == 4) {
			if last.BindIndex == 255 {
				break
			}
			next := root
			next.BindIndex = last.BindIndex + 1
			pages = append(pages, next)
			last = &pages[len(pages)-1]
		}
		i := last.NumPorts
		last.NetSwitch, last.SubSwitch = a.Net(), a.Sub()
		last.PortTypes[i] = artnet.PortInput
		last.GoodInput[i] = artnet.InputReceived
		last.SwIn[i] = a.Universe()
		last.NumPorts++
	}
	return pages
}

// cut shortens a name to at most n bytes, ending at a NUL if it has one.
func cut(s string, n int) string {
	for i, r := range s {
		if r == 0 || i+len(string(r)) > n {
			return s[:i]
		}
	}
	return s
}
