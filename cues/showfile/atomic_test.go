package showfile_test

import (
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
)

func TestWriteAtomic(t *testing.T) {
	path := filepath.Join(t.TempDir(), "show.yaml")
	require.NoError(t, showfile.WriteAtomic(path, []byte("one")))
	require.NoError(t, showfile.WriteAtomic(path, []byte("two")))
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "two", string(got))
	requireAlone(t, path)
}

func TestWriteAtomicKeepsMode(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no permission bits")
	}
	path := filepath.Join(t.TempDir(), "show.yaml")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Chmod(path, 0o640))
	require.NoError(t, showfile.WriteAtomic(path, []byte("new")))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode().Perm())
}

func TestWriteAtomicFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "real.yaml"), filepath.Join(dir, "show.yaml")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o644))
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no links here:", err)
	}
	require.NoError(t, showfile.WriteAtomic(link, []byte("new")))
	got, err := os.ReadFile(target)
	require.NoError(t, err)
	require.Equal(t, "new", string(got))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeSymlink, "the link stays a link")
}

// A file that is not what it was thought to be stays, whoever changed it.
func TestReplaceAtomic(t *testing.T) {
	path := filepath.Join(t.TempDir(), "show.yaml")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o644))
	require.NoError(t, showfile.ReplaceAtomic(path, []byte("old"), []byte("new")))
	require.ErrorIs(t, showfile.ReplaceAtomic(path, []byte("old"), []byte("newer")), showfile.ErrChanged)
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "new", string(got))
	requireAlone(t, path)
	require.NoError(t, os.Remove(path))
	require.ErrorIs(t, showfile.ReplaceAtomic(path, []byte("new"), []byte("newer")), os.ErrNotExist)
	require.NoFileExists(t, path)
}

// When it fails, what was there stays, and nothing is left lying about.
func TestWriteAtomicFails(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "show.yaml")
	require.NoError(t, os.MkdirAll(filepath.Join(path, "inside"), 0o755), "a folder that is in the way")
	err := showfile.WriteAtomic(path, []byte("new"))
	require.ErrorContains(t, err, "write "+path)
	requireAlone(t, path)
	require.DirExists(t, filepath.Join(path, "inside"))

	err = showfile.WriteAtomic(filepath.Join(dir, "nowhere", "show.yaml"), nil)
	require.ErrorIs(t, err, os.ErrNotExist)
}

// Whoever reads while it is written finds one text or the other, whole.
func TestWriteAtomicIsWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "show.yaml")
	texts := map[string]bool{}
	write := func(c byte) {
		data := make([]byte, 1<<16)
		for i := range data {
			data[i] = c
		}
		texts[string(data)] = true
		require.NoError(t, showfile.WriteAtomic(path, data))
	}
	write('a')
	write('b')
	done := make(chan struct{})
	var readers sync.WaitGroup
	readers.Go(func() {
		for {
			select {
			case <-done:
				return
			default:
			}
			if got, err := os.ReadFile(path); err != nil || !texts[string(got)] {
				t.Errorf("read %d bytes, %v", len(got), err)
				return
			}
		}
	})
	for range 50 {
		for _, c := range []byte("ab") {
			data := make([]byte, 1<<16)
			for i := range data {
				data[i] = c
			}
			require.NoError(t, showfile.WriteAtomic(path, data))
		}
	}
	close(done)
	readers.Wait()
}

func requireAlone(t *testing.T, path string) {
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 1)
}
