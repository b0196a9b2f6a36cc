package peer

import (
	"net"
	"net/netip"
	"syscall"
)

// membershipsMost: no limit is known here.
const membershipsMost = 4000

// onlyJoined: a socket gets only what it joined here.
func onlyJoined(uintptr) error { return nil }

// bindGroup: a socket cannot have a group's address here, so it may get what is sent to
// this machine alone as well.
func bindGroup(group netip.AddrPort) (*net.UDPConn, error) {
	return bind(netip.AddrPortFrom(netip.IPv4Unspecified(), group.Port()))
}

func joinGroup(fd uintptr, request *syscall.IPMreq) error {
	return syscall.SetsockoptIPMreq(syscall.Handle(fd), syscall.IPPROTO_IP, syscall.IP_ADD_MEMBERSHIP, request)
}
