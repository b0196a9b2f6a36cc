package peer

import (
	"syscall"

	"golang.org/x/sys/unix"
)

// membershipsMost is how many groups one socket can join, the default of
// net.ipv4.igmp_max_memberships.
const membershipsMost = 20

// onlyJoined has a socket get only the groups it joined itself; else it gets
// those of every program.
func onlyJoined(fd uintptr) error {
	return unix.SetsockoptInt(int(fd), unix.IPPROTO_IP, unix.IP_MULTICAST_ALL, 0)
}

func joinGroup(fd uintptr, request *syscall.IPMreq) error {
	return syscall.SetsockoptIPMreq(int(fd), syscall.IPPROTO_IP, syscall.IP_ADD_MEMBERSHIP, request)
}
