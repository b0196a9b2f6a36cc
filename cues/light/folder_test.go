package light_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/light"
)

func key(n int) string { return fmt.Sprintf("%032x", n) }

func TestFolderKeepsWhatIsWhole(t *testing.T) {
	f := light.Folder{Dir: filepath.Join(t.TempDir(), "cache")}
	_, err := f.Read(key(1))
	require.ErrorIs(t, err, light.ErrNotKept)
	require.NoError(t, f.Write(key(1), []byte("light")))
	got, err := f.Read(key(1))
	require.NoError(t, err)
	require.Equal(t, "light", string(got))

	path := filepath.Join(f.Dir, key(1)+".light")
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	changed := append([]byte("L"), whole[1:]...)
	for what, bad := range map[string][]byte{"cut": whole[:len(whole)-1], "changed": changed, "empty": nil, "longer": append(whole, 0)} {
		require.NoError(t, os.WriteFile(path, bad, 0o600))
		_, err := f.Read(key(1))
		require.ErrorIs(t, err, light.ErrNotKept, what)
	}
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir, key(2)+".light"), whole, 0o600))
	_, err = f.Read(key(2))
	require.ErrorIs(t, err, light.ErrNotKept, "of another place")

	require.NoError(t, f.Write(key(1), []byte("again")), "a broken file is replaced")
	got, err = f.Read(key(1))
	require.NoError(t, err)
	require.Equal(t, "again", string(got))
	entries, err := os.ReadDir(f.Dir)
	require.NoError(t, err)
	require.Len(t, entries, 2, "nothing half written is left")
}

func TestFolderLetsGoOfTheOldest(t *testing.T) {
	f := light.Folder{Dir: t.TempDir(), Most: 3}
	other := filepath.Join(f.Dir, "notes.light")
	require.NoError(t, os.WriteFile(other, []byte("a person's own"), 0o600))
	for n := range 3 {
		require.NoError(t, f.Write(key(n), []byte("light")))
		old := time.Now().Add(time.Duration(n-10) * time.Hour)
		require.NoError(t, os.Chtimes(filepath.Join(f.Dir, key(n)+".light"), old, old))
	}
	_, err := f.Read(key(0)) // used, so it is the newest again
	require.NoError(t, err)
	require.NoError(t, f.Write(key(3), []byte("light")))
	_, err = f.Read(key(1))
	require.ErrorIs(t, err, light.ErrNotKept)
	for _, n := range []int{0, 2, 3} {
		_, err := f.Read(key(n))
		require.NoError(t, err)
	}
	require.FileExists(t, other)
}

func TestNoFolder(t *testing.T) {
	require.NoError(t, light.Folder{}.Write(key(1), []byte("light")))
	_, err := light.Folder{}.Read(key(1))
	require.ErrorIs(t, err, light.ErrNotKept)
}
