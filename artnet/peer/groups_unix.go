//go:build unix && !linux

package peer

import "syscall"

// membershipsMost is under IP_MAX_MEMBERSHIPS of the BSDs and Darwin, 4095.
const membershipsMost = 4000

// onlyJoined: there is no such choice here.
func onlyJoined(uintptr) error { return nil }

func joinGroup(fd uintptr, request *syscall.IPMreq) error {
	return syscall.SetsockoptIPMreq(int(fd), syscall.IPPROTO_IP, syscall.IP_ADD_MEMBERSHIP, request)
}
