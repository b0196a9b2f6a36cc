package watch

import (
	"context"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
)

func folder() fstest.MapFS {
	return fstest.MapFS{
		"show.yaml":                {Data: []byte("a")},
		"locations/deep-end.yaml":  {Data: []byte("b")},
		"things/ring.obj":          {Data: []byte("c")},
		"cache/abc.light":          {Data: []byte("d")},
		"cache/not.yaml":           {Data: []byte("d")},
		"state.json":               {Data: []byte("e")},
		".hidden/x.yaml":           {Data: []byte("f")},
		"locations/.deep-end.yaml": {Data: []byte("g")},
		"locations/deep-end.yaml~": {Data: []byte("h")},
		"locations/old.yaml.bak":   {Data: []byte("i")},
	}
}

func TestChanged(t *testing.T) {
	now := time.Now()
	for name, c := range map[string]struct {
		edit func(fstest.MapFS)
		want []string
	}{
		"nothing":     {func(fstest.MapFS) {}, nil},
		"an edit":     {func(f fstest.MapFS) { f["show.yaml"] = &fstest.MapFile{Data: []byte("z")} }, []string{"show.yaml"}},
		"a new file":  {func(f fstest.MapFS) { f["lamps/x.yaml"] = &fstest.MapFile{} }, []string{"lamps/x.yaml"}},
		"a file less": {func(f fstest.MapFS) { delete(f, "locations/deep-end.yaml") }, []string{"locations/deep-end.yaml"}},
		"a rename": {func(f fstest.MapFS) {
			f["locations/b.yaml"] = f["locations/deep-end.yaml"]
			delete(f, "locations/deep-end.yaml")
		}, []string{"locations/b.yaml", "locations/deep-end.yaml"}},
		"touched only": {func(f fstest.MapFS) { f["show.yaml"] = &fstest.MapFile{Data: []byte("a"), ModTime: now} }, nil},
		"no part of it": {func(f fstest.MapFS) {
			for _, n := range []string{"cache/abc.light", "state.json", ".hidden/x.yaml", "locations/.deep-end.yaml", "locations/deep-end.yaml~", "locations/old.yaml.bak", "journal.db"} {
				f[n] = &fstest.MapFile{Data: []byte("zz")}
			}
		}, nil},
		// As an editor leaves it that saves twice within the tick of a coarse clock.
		"the same date and length": {func(f fstest.MapFS) {
			f["show.yaml"] = &fstest.MapFile{Data: []byte("b"), ModTime: now.Add(-time.Second)}
		}, []string{"show.yaml"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := folder()
			f["show.yaml"].ModTime = now.Add(-time.Second)
			before, err := Scan(f, Files{}, now)
			require.NoError(t, err)
			c.edit(f)
			after, err := Scan(f, before, now.Add(time.Second))
			require.NoError(t, err)
			require.Equal(t, c.want, after.Changed(before))
		})
	}
}

// What is old is not read again.
func TestOldFilesAreNotReadAgain(t *testing.T) {
	now := time.Now()
	f := folder()
	f["show.yaml"].ModTime = now.Add(-time.Minute)
	before, err := Scan(f, Files{}, now)
	require.NoError(t, err)
	f["show.yaml"].Data = []byte("z") // nobody can do this to a file
	after, err := Scan(f, before, now)
	require.NoError(t, err)
	require.Empty(t, after.Changed(before))
}

// A save of many writes is told of once, when it has been still; one that never
// ends, after a second.
func TestManyWritesAreOneChange(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var f swapFS
		f.put("a")
		told := make(chan time.Time, 100)
		nudges := make(chan struct{}, 1)
		w := &Watcher{fsys: &f, log: slog.New(slog.DiscardHandler)}
		w.known, _ = Scan(&f, Files{}, time.Now())
		ctx, cancel := context.WithCancel(t.Context())
		start := time.Now()
		done := make(chan struct{})
		go func() {
			w.run(ctx, nudges, func() time.Duration { return seldom }, func([]string) { told <- time.Now() })
			close(done)
		}()
		write := func(text string) {
			f.put(text)
			nudges <- struct{}{}
		}
		for i := range 5 {
			write(string(rune('b' + i)))
			time.Sleep(100 * time.Millisecond)
		}
		time.Sleep(time.Second)
		require.Len(t, told, 1)
		require.Equal(t, 400*time.Millisecond+quiet, (<-told).Sub(start))
		start = time.Now()
		for i := range 25 {
			write(string(rune('k' + i)))
			time.Sleep(100 * time.Millisecond)
		}
		time.Sleep(time.Second)
		require.Len(t, told, 3)
		require.Equal(t, mostQuiet, (<-told).Sub(start))

		// Without an event it is found all the same.
		<-told
		<-told
		f.put("unheard")
		time.Sleep(seldom)
		require.Len(t, told, 1)
		cancel()
		<-done
	})
}

// swapFS is a folder of one file that a test changes while it is read.
type swapFS struct{ now atomic.Pointer[fstest.MapFS] }

func (f *swapFS) put(text string) {
	f.now.Store(&fstest.MapFS{"show.yaml": {Data: []byte(text), ModTime: time.Now()}})
}

func (f *swapFS) Open(name string) (fs.File, error) { return f.now.Load().Open(name) }

// On a real folder, by the events of the system and without them: files saved in
// place, by rename, new folders, and the whole folder put in the place of another.
func TestWatcherOnDisk(t *testing.T) {
	for name, run := range map[string]func(*Watcher, context.Context, func([]string)){
		"events": (*Watcher).Run,
		"polling": func(w *Watcher, ctx context.Context, tell func([]string)) {
			w.run(ctx, nil, func() time.Duration { return 20 * time.Millisecond }, tell)
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "show")
			write := func(name, text string) {
				path := filepath.Join(dir, filepath.FromSlash(name))
				require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
				require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
			}
			write("show.yaml", "a")
			write("locations/a.yaml", "a")
			w := New(dir, slog.New(slog.DiscardHandler))
			ctx, cancel := context.WithCancel(t.Context())
			told := make(chan []string, 100)
			done := make(chan struct{})
			go func() {
				run(w, ctx, func(c []string) { told <- c })
				close(done)
			}()
			expect := func(what string, names ...string) {
				t.Helper()
				missing := map[string]bool{}
				for _, n := range names {
					missing[n] = true
				}
				late := time.After(30 * time.Second)
				for len(missing) > 0 {
					select {
					case c := <-told:
						for _, n := range c {
							delete(missing, n)
						}
					case <-late:
						require.FailNow(t, what, "not told of %v", missing)
					}
				}
			}
			write("show.yaml", "b")
			expect("saved in place", "show.yaml")
			write("new", "c")
			require.NoError(t, os.Rename(filepath.Join(dir, "new"), filepath.Join(dir, "show.yaml")))
			expect("saved by rename", "show.yaml")
			write("lamps/deep/x.yaml", "d")
			expect("a new folder", "lamps/deep/x.yaml")
			write("lamps/deep/x.yaml", "e")
			expect("within it", "lamps/deep/x.yaml")
			require.NoError(t, os.Remove(filepath.Join(dir, "locations", "a.yaml")))
			expect("removed", "locations/a.yaml")
			require.NoError(t, os.Rename(dir, dir+"-old"))
			expect("the folder is gone", ".")
			write("show.yaml", "f")
			expect("another folder", "show.yaml")
			write("show.yaml", "g")
			expect("within it", "show.yaml")
			cancel()
			<-done
		})
	}
}
