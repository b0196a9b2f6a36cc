//go:build unix && !(darwin || dragonfly || freebsd || netbsd || openbsd)

package peer

func reusePort(int) error { return nil }
