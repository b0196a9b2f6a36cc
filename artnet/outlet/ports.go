package outlet

import "linkboy/artnet"

// portSet is a set of port-addresses, a bit each.
type portSet [(int(artnet.MaxPortAddress) + 1) / 64]uint64

func setOf(ports []artnet.PortAddress) *portSet {
	var s portSet
	for _, p := range ports {
		if p.Valid() {
			s[p/64] |= 1 << (p % 64)
		}
	}
	return &s
}

// has reports whether a port-address is in the set; what is none is not.
func (s *portSet) has(port uint16) bool {
	return port <= uint16(artnet.MaxPortAddress) && s[port/64]>>(port%64)&1 == 1
}
