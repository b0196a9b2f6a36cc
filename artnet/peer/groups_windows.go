package peer

import "syscall"

// membershipsMost: no limit is known here.
const membershipsMost = 4000

// onlyJoined: a socket gets only what it joined here.
func onlyJoined(uintptr) error { return nil }

func joinGroup(fd uintptr, request *syscall.IPMreq) error {
	return syscall.SetsockoptIPMreq(syscall.Handle(fd), syscall.IPPROTO_IP, syscall.IP_ADD_MEMBERSHIP, request)
}
