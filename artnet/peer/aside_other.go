//go:build !linux

package peer

import (
	"net"
	"net/netip"
)

// openAside: other systems keep few datagrams for a device that does not
// answer, and would give a second socket what the first should receive.
func openAside(netip.AddrPort) ([]*net.UDPConn, []*Writer) { return nil, nil }
