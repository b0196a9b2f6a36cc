package light

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"
)

// Folder keeps encoded maps. The zero Folder keeps nothing.
type Folder struct {
	Dir  string // made when it is needed; "" for none
	Most int    // files that are kept, those longest not used going first; 0 for 8
}

const (
	filesUsual = 8
	ending     = ".light"
)

// ours are the names of files of this package: no other is touched.
var ours = regexp.MustCompile(`^[0-9a-f]{32}\.light$`)

// ErrNotKept is a map that is not in the folder, or not whole.
var ErrNotKept = errors.New("this light is not kept")

// Read gives the map of a key, and notes that it is used. The error wraps ErrNotKept.
func (f Folder) Read(key string) ([]byte, error) {
	if f.Dir == "" {
		return nil, ErrNotKept
	}
	path := filepath.Join(f.Dir, key+ending)
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	if len(b) < sha256.Size {
		return nil, fmt.Errorf("%w: %s is cut", ErrNotKept, path)
	}
	whole := b[:len(b)-sha256.Size]
	if !bytes.Equal(seal(key, whole), b[len(whole):]) {
		return nil, fmt.Errorf("%w: %s is not what was written", ErrNotKept, path)
	}
	now := time.Now()
	_ = os.Chtimes(path, now, now) // a folder that cannot be written to still serves
	return whole, nil
}

// seal is what a file ends with.
func seal(key string, whole []byte) []byte {
	h := sha256.New()
	h.Write([]byte(key))
	h.Write(whole)
	return h.Sum(nil)
}

// Write keeps the map of a key in the place of any other, whole or not at all, and
// lets go of what has long not been used.
func (f Folder) Write(key string, encoded []byte) error {
	if f.Dir == "" {
		return nil
	}
	if err := os.MkdirAll(f.Dir, 0o755); err != nil {
		return fmt.Errorf("keep light: %w", err)
	}
	temp, err := os.CreateTemp(f.Dir, "."+key[:8]+"-*")
	if err != nil {
		return fmt.Errorf("keep light: %w", err)
	}
	_, err = temp.Write(encoded)
	if err == nil {
		_, err = temp.Write(seal(key, encoded))
	}
	err = errors.Join(err, temp.Close())
	if err == nil {
		err = os.Rename(temp.Name(), filepath.Join(f.Dir, key+ending))
	}
	if err != nil {
		_ = os.Remove(temp.Name())
		return fmt.Errorf("keep light: %w", err)
	}
	f.prune()
	return nil
}

// prune removes the files that have longest not been used. What cannot be removed stays.
func (f Folder) prune() {
	entries, err := os.ReadDir(f.Dir)
	if err != nil {
		return
	}
	type file struct {
		name string
		used time.Time
	}
	var files []file
	for _, e := range entries {
		if info, err := e.Info(); err == nil && ours.MatchString(e.Name()) {
			files = append(files, file{e.Name(), info.ModTime()})
		}
	}
	slices.SortFunc(files, func(a, b file) int {
		return cmp.Or(b.used.Compare(a.used), cmp.Compare(a.name, b.name))
	})
	for _, old := range files[min(len(files), cmp.Or(f.Most, filesUsual)):] {
		_ = os.Remove(filepath.Join(f.Dir, old.name))
	}
}
