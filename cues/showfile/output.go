package showfile

import (
	"fmt"
	"net/netip"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// Ranges of output values: those of ANSI E1.31, and of the TTL of IPv4.
var (
	priorities    = span{0, 200}
	sacnUniverses = span{1, cues.MaxSACNUniverse}
	offsets       = span{-32767, cues.MaxSACNUniverse}
	ttls          = span{1, 255}
)

var portText = regexp.MustCompile(`^(\d{1,3}):(\d{1,2}):(\d{1,2})$`)

// manyPorts is more than there are port-addresses.
const manyPorts = 1 << 16

// maxInterface bounds the name of an interface; systems allow less.
const maxInterface = 128

// outputs reads how the universes of a location travel. It is not nil, for a
// location that lists none sends nothing.
func (r *reader) outputs(n *yaml.Node) []*cues.Output {
	all := []*cues.Output{}
	r.items(n, "the outputs", func(item *yaml.Node) {
		before := len(r.sink.problems) + r.sink.dropped
		if o := r.output(item); o != nil && len(r.sink.problems)+r.sink.dropped == before {
			all = append(all, o)
		}
	})
	return all
}

// output reads one output, whose keys depend on its protocol.
func (r *reader) output(n *yaml.Node) *cues.Output {
	o := &cues.Output{Priority: cues.DefaultPriority, At: r.pos(n)}
	known := schema{
		"over": need(func(n *yaml.Node) {
			o.Over = cues.Protocol(r.word(n, "protocol", string(cues.ArtNet), string(cues.SACN)))
		}),
		"universes": may(func(n *yaml.Node) { o.Universes = r.universes(n) }),
		"interface": may(func(n *yaml.Node) { o.Interface = r.netInterface(n) }),
	}
	what := "an output"
	switch over := valueOf(n, "over"); over {
	case string(cues.ArtNet):
		what += " over art-net"
		known["to"] = may(func(n *yaml.Node) { o.To, o.Broadcast = r.receivers(n, "broadcast") })
		known["sync"] = may(func(n *yaml.Node) { o.Sync = r.yesNo(n, "sync") })
	case string(cues.SACN):
		what += " over sacn"
		known["to"] = may(func(n *yaml.Node) { o.To, _ = r.receivers(n, "multicast") })
		known["priority"] = may(func(n *yaml.Node) { o.Priority = r.whole(n, "the priority", priorities) })
		known["sync"] = may(func(n *yaml.Node) { o.SyncAddress = uint16(r.whole(n, "the synchronization address", sacnUniverses)) })
		known["offset"] = may(func(n *yaml.Node) { o.Offset = r.whole(n, "the offset", offsets) })
		known["ttl"] = may(func(n *yaml.Node) { o.TTL = r.whole(n, "the TTL", ttls) })
		known["preview"] = may(func(n *yaml.Node) { o.Preview = r.yesNo(n, "preview") })
	default: // the protocol is told; nothing can be said of the rest
		for _, key := range []string{"to", "sync", "priority", "offset", "ttl", "preview"} {
			known[key] = may(func(*yaml.Node) {})
		}
	}
	if !r.keys(n, what, known) {
		return nil
	}
	return o
}

// valueOf is the single value of a key in a map, "" where there is none.
func valueOf(n *yaml.Node, key string) string {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key && n.Content[i+1].Kind == yaml.ScalarNode {
			return n.Content[i+1].Value
		}
	}
	return ""
}

// universes reads port-addresses and ranges of them, nil for all.
func (r *reader) universes(n *yaml.Node) []uint16 {
	if n.Kind == yaml.ScalarNode && n.Value == "all" {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		r.shape(n, "the universes", "a list ([0:0:1, 0:0:2..0:0:8]), or all")
		return nil
	}
	if len(n.Content) == 0 {
		r.problem(n, cues.CodeEmptyValue, "the list of universes is empty", "the output would carry nothing", "list some, write all, or take the output out")
		return nil
	}
	ports := []uint16{}
	r.items(n, "the universes", func(item *yaml.Node) {
		text := r.text(item, "a universe")
		if item.Kind != yaml.ScalarNode {
			return
		}
		first, last, isRange := strings.Cut(text, "..")
		from, why := portNumber(first)
		to := from
		if isRange && why == "" {
			if to, why = portNumber(last); why == "" && to < from {
				why = "it runs down"
			}
		}
		if why != "" {
			r.problem(item, cues.CodeBadPort, fmt.Sprintf("%q is no universe", shorten(text)), why,
				"write net:sub-net:universe like 0:0:1, or a range like 0:0:1..0:0:8")
			return
		}
		for port := from; port <= to; port++ {
			ports = append(ports, port)
		}
		if len(ports) > manyPorts { // a list of wide ranges
			slices.Sort(ports)
			ports = slices.Compact(ports)
		}
	})
	slices.Sort(ports)
	return slices.Compact(ports)
}

// portNumber reads net:sub-net:universe; why is what is wrong with it.
func portNumber(text string) (port uint16, why string) {
	m := portText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, "a port-address has three numbers, net:sub-net:universe"
	}
	var v [3]int
	for i, part := range addressParts[:3] {
		v[i], _ = strconv.Atoi(m[i+1])
		if v[i] > part.most {
			return 0, fmt.Sprintf("the %s can be %d to %d, not %d", part.name, part.least, part.most, v[i])
		}
	}
	return uint16(v[0]<<8 | v[1]<<4 | v[2]), ""
}

func (r *reader) netInterface(n *yaml.Node) string {
	text := strings.TrimSpace(r.text(n, "the interface"))
	if n.Kind == yaml.ScalarNode && (text == "" || len(text) > maxInterface || strings.ContainsFunc(text, notPrinted)) {
		r.problem(n, cues.CodeBadName, fmt.Sprintf("%q cannot be an interface", shorten(n.Value)),
			"it is the name of a network interface of this machine, or this machine's address there", "write it like eth1 or 192.168.1.10")
	}
	return text
}

func notPrinted(c rune) bool { return !strconv.IsPrint(c) }

// receivers reads where an output goes: the word for everyone, a device or a
// list of devices.
func (r *reader) receivers(n *yaml.Node, everyone string) (to []netip.AddrPort, all bool) {
	if n.Kind == yaml.ScalarNode && n.Value == everyone {
		return nil, true
	}
	items := n.Content
	switch {
	case n.Kind == yaml.ScalarNode:
		items = []*yaml.Node{n}
	case n.Kind == yaml.MappingNode:
		r.shape(n, "to", fmt.Sprintf("a list of addresses, or %s", everyone))
		return nil, false
	case len(items) == 0:
		r.problem(n, cues.CodeEmptyValue, "the list of receivers is empty", "the output would go nowhere",
			fmt.Sprintf("list some, write %s, or take to: out", everyone))
		return nil, false
	}
	for _, item := range items {
		at, why := receiver(r.text(item, "a receiver"))
		switch {
		case item.Kind != yaml.ScalarNode:
		case why == "" && slices.Contains(to, at):
			r.problem(item, cues.CodeBadReceiver, fmt.Sprintf("%q stands twice", shorten(item.Value)), "it would get everything twice", "take one of the two out")
		case why != "":
			r.problem(item, cues.CodeBadReceiver, fmt.Sprintf("%q is no device to send to", shorten(item.Value)), why,
				fmt.Sprintf("write an IPv4 address like 192.168.1.21, or %s", everyone))
		default:
			to = append(to, at)
		}
	}
	return to, false
}

// receiver reads an IPv4 address, with or without a UDP port; why is what is
// wrong with it.
func receiver(text string) (at netip.AddrPort, why string) {
	text = strings.TrimSpace(text)
	addr, err := netip.ParseAddr(text)
	at = netip.AddrPortFrom(addr, 0)
	if err != nil {
		if at, err = netip.ParseAddrPort(text); err != nil {
			return at, "it is no IP address"
		}
		if addr = at.Addr(); at.Port() == 0 {
			return at, "0 is no UDP port"
		}
	}
	switch {
	case !addr.Is4():
		return at, "it is not an IPv4 address"
	case addr.IsUnspecified(), addr.IsMulticast(), addr == netip.AddrFrom4([4]byte{255, 255, 255, 255}):
		return at, "it is not the address of one device"
	}
	return at, ""
}
