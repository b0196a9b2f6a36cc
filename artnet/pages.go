package artnet

import "fmt"

// The most pages that BindIndex can count, and the most ports of a page.
const (
	MaxPages        = 255
	MaxPortsPerPage = 4
)

// DevicePort is one port of a device, as a page of ArtPollReply tells it.
type DevicePort struct {
	PortAddress PortAddress
	Type        uint8 // PortTypes: PortOutput or PortInput, with the protocol in bits 5..0
	GoodInput   uint8
	GoodOutputA uint8
	GoodOutputB uint8
}

// Pages appends the ArtPollReply pages of a device with these ports to dst. All
// of a page but its ports and BindIndex is taken from r. Each page has up to
// most ports, 1..4, which must share net and sub-net, so a port of another one
// starts a page. 1 is the form that Art-Net 4 prefers: BindIndex is then the
// number of the port. A device without ports has one page. Errors wrap
// ErrPortAddress or ErrCount, and leave dst as it was.
func (r *PollReply) Pages(dst []PollReply, ports []DevicePort, most int) ([]PollReply, error) {
	if most < 1 || most > MaxPortsPerPage {
		return dst, fmt.Errorf("artnet: %v: %w: got %d ports a page, need 1..%d", OpPollReply, ErrCount, most, MaxPortsPerPage)
	}
	pages := append(dst, r.page(1))
	for i, p := range ports {
		if err := p.PortAddress.check(); err != nil {
			return dst, err
		}
		last := &pages[len(pages)-1]
		if i > 0 && (int(last.NumPorts) == most || last.NetSwitch != p.PortAddress.Net() || last.SubSwitch != p.PortAddress.Sub()) {
			if last.BindIndex == MaxPages {
				return dst, fmt.Errorf("artnet: %v: %w: %d ports need more than %d pages", OpPollReply, ErrCount, len(ports), MaxPages)
			}
			pages = append(pages, r.page(last.BindIndex+1))
			last = &pages[len(pages)-1]
		}
		last.add(p)
	}
	return pages, nil
}

// page is r without its ports.
func (r *PollReply) page(bindIndex uint8) PollReply {
	p := *r
	p.BindIndex, p.NumPorts = bindIndex, 0
	p.PortTypes, p.GoodInput, p.GoodOutputA, p.GoodOutputB = [4]uint8{}, [4]uint8{}, [4]uint8{}, [4]uint8{}
	p.SwIn, p.SwOut = [4]uint8{}, [4]uint8{}
	return p
}

func (r *PollReply) add(p DevicePort) {
	i := r.NumPorts
	r.NetSwitch, r.SubSwitch = p.PortAddress.Net(), p.PortAddress.Sub()
	r.PortTypes[i], r.GoodInput[i], r.GoodOutputA[i], r.GoodOutputB[i] = p.Type, p.GoodInput, p.GoodOutputA, p.GoodOutputB
	if p.Type&PortInput != 0 {
		r.SwIn[i] = p.PortAddress.Universe()
	}
	if p.Type&PortOutput != 0 {
		r.SwOut[i] = p.PortAddress.Universe()
	}
	r.NumPorts++
}

// Root reports whether the page is the device's own, BindIndex 1 or 0; others
// are further ports of it.
func (r *PollReply) Root() bool { return r.BindIndex <= 1 }
