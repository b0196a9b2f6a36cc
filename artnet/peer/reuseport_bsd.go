//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package peer

import "syscall"

func reusePort(fd int) error {
	return syscall.SetsockoptInt(fd, syscall.SOL_SOCKET, syscall.SO_REUSEPORT, 1)
}
