package showfile

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// WriteAtomic replaces the file at path by data: whoever reads it, and whoever
// reads it after the power went, finds the old text or the new one, whole. A
// file that exists keeps its permissions, and a link stays a link. The error
// says which step failed; the old file is then as it was.
func WriteAtomic(path string, data []byte) error { return replace(path, data, nil) }

// ErrChanged says that a file is no longer what it was thought to be.
var ErrChanged = errors.New("the file has been changed in the meantime")

// ReplaceAtomic is WriteAtomic for a file that others write to: at the last
// moment, before data takes its place, it must still hold old, else it stays
// and the error is ErrChanged. What remains is the time between that look and
// the rename, some microseconds; no system has a rename that compares.
func ReplaceAtomic(path string, old, data []byte) error {
	return replace(path, data, func(path string) error {
		now, err := os.ReadFile(path)
		if err == nil && !bytes.Equal(now, old) {
			err = ErrChanged
		}
		return err
	})
}

// CreateAtomic writes a new file at path, whole or not at all. When there is one by
// then, it stays and the error is ErrChanged.
func CreateAtomic(path string, data []byte) error {
	return replace(path, data, func(path string) error {
		if _, err := os.Lstat(path); err == nil {
			return ErrChanged
		}
		return nil
	})
}

// RemoveAtomic takes the file at path away. It must still hold old, else it stays and
// the error is ErrChanged.
func RemoveAtomic(path string, old []byte) error {
	now, err := os.ReadFile(path)
	if err == nil && !bytes.Equal(now, old) {
		err = ErrChanged
	}
	if err == nil {
		err = os.Remove(path)
	}
	if err != nil {
		return fmt.Errorf("remove %s: %w", path, err)
	}
	return syncDir(filepath.Dir(path))
}

// replace puts data in place of the file at path; last is asked just before.
func replace(path string, data []byte, last func(path string) error) (err error) {
	if target, linkErr := filepath.EvalSymlinks(path); linkErr == nil {
		path = target
	}
	mode := os.FileMode(0o644)
	if info, statErr := os.Stat(path); statErr == nil {
		mode = info.Mode().Perm()
	}
	dir := filepath.Dir(path)
	// In the same folder, because a rename is atomic only within a file system.
	temp, err := os.CreateTemp(dir, "."+filepath.Base(path)+".*.tmp")
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			temp.Close() // fails when it is closed already, which is fine
			os.Remove(temp.Name())
			err = fmt.Errorf("write %s: %w", path, err)
		}
	}()
	if _, err = temp.Write(data); err != nil {
		return err
	}
	if err = temp.Chmod(mode); err != nil {
		return err
	}
	if err = temp.Sync(); err != nil {
		return err
	}
	if err = temp.Close(); err != nil { // Windows renames no open file
		return err
	}
	if last != nil {
		if err = last(path); err != nil {
			return err
		}
	}
	if err = os.Rename(temp.Name(), path); err != nil {
		return err
	}
	return syncDir(dir)
}
