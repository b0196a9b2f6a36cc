//go:build unix

package showfile

import (
	"errors"
	"os"
	"syscall"
)

// syncDir makes a rename in dir outlast a loss of power. File systems that
// cannot sync a folder say EINVAL; the rename itself has been done then.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) && !errors.Is(err, syscall.ENOTSUP) {
		return err
	}
	return nil
}
