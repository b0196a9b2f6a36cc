package link

import "net/netip"

// Receive is what the sockets call.
func (l *Link) Receive(from netip.AddrPort, b []byte) { l.receive(from, b) }
