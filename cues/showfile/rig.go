package showfile

import (
	"fmt"
	"regexp"
	"strconv"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

var addressText = regexp.MustCompile(`^(\d{1,5}):(\d{1,5}):(\d{1,5})\.(\d{1,5})$`)

// The parts of an address: Art-Net 4 splits the 15-bit port-address into
// 7 bits of net, 4 of sub-net and 4 of universe; a universe has 512 slots.
var addressParts = []struct {
	name        string
	least, most int
}{{"net", 0, 127}, {"sub-net", 0, 15}, {"universe", 0, 15}, {"slot", 1, 512}}

// Ranges of diffusion.
var (
	factors   = span{1, 100}
	widenings = span{0, 120} // as far as a perfect diffuser spreads
)

func (s *site) readRig(n *yaml.Node) {
	s.each(n, "the rig", func(key, value *yaml.Node) {
		if s.name(key, "a place in the rig") == "" {
			return
		}
		s.rig[key.Value] = nil
		if !s.present(key, value) {
			return
		}
		if lamp := s.rigLamp(key, value); lamp != nil {
			s.rig[lamp.ID] = lamp
			s.here[lamp.Lamp.ID] = lamp
			s.loc.Rig = append(s.loc.Rig, lamp)
		}
	})
}

// rigLamp reads which lamp stands where, nil when it is not known.
func (s *site) rigLamp(key, n *yaml.Node) *cues.RigLamp {
	lamp := &cues.RigLamp{ID: key.Value, At: s.pos(key)}
	id, idNode := key.Value, key
	var goboNode *yaml.Node
	before := len(s.sinkOf().problems)
	whole := s.keys(n, fmt.Sprintf("%q", lamp.ID), schema{
		"lamp":    may(func(n *yaml.Node) { id, idNode = s.name(n, "a lamp"), n }),
		"at":      need(s.intoPoint(&lamp.Place, "at")),
		"along":   may(func(n *yaml.Node) { lamp.Along = s.direction(n) }),
		"aim":     may(func(n *yaml.Node) { lamp.Aim, lamp.HasAim = s.spot(n, "aim") }),
		"address": need(func(n *yaml.Node) { lamp.Address = s.address(n) }),
		"circuit": may(func(n *yaml.Node) { lamp.Circuit = s.text(n, "the circuit") }),

		"diffusion": may(func(n *yaml.Node) { lamp.Diffusion = s.diffusion(n) }),
		"gobo":      may(func(n *yaml.Node) { lamp.Gobo, goboNode = s.gobo(n), n }),
	})
	lamp.Lamp = s.kitLampNamed(idNode, id, lamp.ID)
	if _, twice := s.here[id]; !twice {
		s.here[id] = nil
	}
	if lamp.Lamp == nil || !whole || len(s.sinkOf().problems) > before {
		return nil
	}
	if lamp.Gobo != nil {
		s.fitsGobo(goboNode, lamp)
	}
	return lamp
}

// kitLampNamed finds the lamp that stands at a place in the rig.
func (s *site) kitLampNamed(n *yaml.Node, id, place string) *cues.KitLamp {
	k, known := s.kit[id]
	if known || id == "" || !s.kitKnown {
		return k
	}
	if n.Line > 0 && n.Value == place && id == place {
		s.problem(n, cues.CodeUnknownLamp, fmt.Sprintf("%q does not say which lamp stands there", place),
			"it has no key lamp, and no lamp of the kit has this name", "add lamp: with the id of a lamp of the kit")
		return nil
	}
	s.unknown(n, cues.CodeUnknownLamp, fmt.Sprintf("no lamp of the kit is named %q", shorten(id)), id, sortedKeys(s.kit))
	return nil
}

func (s *site) direction(n *yaml.Node) cues.Point {
	p, ok := s.point(n, "along")
	if ok && p == (cues.Point{}) {
		s.problem(n, cues.CodeOutOfRange, "along is no direction", "[0, 0, 0] points nowhere",
			"write the way from cell 1 to the last cell, like [1, 0, 0]")
	}
	return p
}

// diffusion reads what stands in front of a lamp.
func (r *reader) diffusion(n *yaml.Node) *cues.Diffusion {
	d := &cues.Diffusion{}
	r.keys(n, "the diffusion", schema{
		"factor": need(func(n *yaml.Node) {
			share, _ := r.quantity(n, "the factor", "%", factors, true)
			d.Factor = hundredth(share)
		}),
		"widens": may(r.into(&d.WidensDeg, "widens", "deg", widenings)),
	})
	return d
}

// ParseAddress reads an address as it is written in a show file: "0:0:1.001". The
// problem has no place.
func ParseAddress(text string) (cues.Address, *cues.Problem) { return parseAddress(text, cues.Pos{}) }

func parseAddress(text string, at cues.Pos) (cues.Address, *cues.Problem) {
	bad := func(why string) (cues.Address, *cues.Problem) {
		return cues.Address{}, cues.NewProblem(at, cues.CodeBadAddress, fmt.Sprintf("%q is no address", shorten(text)), why,
			"write net:sub-net:universe.slot, like 0:0:1.001")
	}
	m := addressText.FindStringSubmatch(text)
	if m == nil {
		return bad("an address has four numbers, net:sub-net:universe.slot")
	}
	var v [4]int
	for i, part := range addressParts {
		v[i], _ = strconv.Atoi(m[i+1])
		if v[i] < part.least || v[i] > part.most {
			return bad(fmt.Sprintf("the %s can be %d to %d, not %d", part.name, part.least, part.most, v[i]))
		}
	}
	return cues.Address{Port: uint16(v[0]<<8 | v[1]<<4 | v[2]), Slot: v[3], At: at}, nil
}

func (r *reader) address(n *yaml.Node) cues.Address {
	text := r.text(n, "the address")
	if n.Kind != yaml.ScalarNode {
		return cues.Address{}
	}
	address, problem := parseAddress(text, r.pos(n))
	if problem != nil {
		r.sink.add(problem)
	}
	return address
}

func (s *site) sinkOf() *sink { return s.reader.sink }
