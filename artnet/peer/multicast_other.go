//go:build !unix && !windows

package peer

import (
	"errors"
	"syscall"
)

// sendMulticast: nothing is known of this system.
func sendMulticast(syscall.RawConn, [4]byte, SenderOptions) error {
	return errors.New("multicast cannot be sent on this system; name the receivers instead")
}
