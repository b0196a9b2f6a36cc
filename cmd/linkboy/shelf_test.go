package main

import (
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/edit"
)

// writeSmall writes the small show to a folder.
func writeSmall(t testing.TB, dir string) {
	t.Helper()
	for name, text := range smallShow {
		save(t, dir, name, text)
	}
}

// save writes one file of a show, as an editor does that saves by renaming.
func save(t testing.TB, dir, name, text string) {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(name))
	assert.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	assert.NoError(t, os.WriteFile(path+".new", []byte(text), 0o600))
	assert.NoError(t, os.Rename(path+".new", path))
}

// filesJSON is what /api/state says of the show on disk.
type filesJSON struct {
	Files    session.Files     `json:"files"`
	Warnings []session.Warning `json:"warnings"`
	Revision uint32            `json:"revision"`
	Location string            `json:"location"`
}

func (d *daemon) files() (s filesJSON) {
	d.t.Helper()
	d.get("/api/state", &s)
	return s
}

// bytes gives the slots of the only universe; nil before the first frame.
func (d *daemon) bytes() []byte {
	d.t.Helper()
	var f struct {
		Frames []struct{ Slots []byte }
	}
	d.get("/api/frames", &f)
	if len(f.Frames) == 0 {
		return nil
	}
	return f.Frames[0].Slots
}

// looksOf gives the bytes of a look of a show on disk, once it has settled.
func looksOf(t testing.TB, dir, look string) []byte {
	t.Helper()
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.False(t, problems.HasErrors(), problems)
	still, _, problems := place.Still(show.Look(show.Locations[0], look))
	require.False(t, problems.HasErrors(), problems)
	return place.Frame(still, true)[0]
}

// A person edits the files while the daemon runs: what is good is on set, what is broken
// is told where it is and changes nothing.
func TestServeTakesInWhatIsEdited(t *testing.T) {
	dir := t.TempDir()
	writeSmall(t, dir)
	place := strings.Replace(smallShow["locations/place.yaml"], "level: -2 stops under key at a", "level: 20%", 1)
	save(t, dir, "locations/place.yaml", place)
	d := startDaemon(t, "serve", dir, "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.211", "--artnet-to", "127.0.3.212")
	outside.Await(t, "the look", func() bool { return string(d.bytes()) == string(looksOf(t, dir, "look")) })
	before := d.files()
	require.Zero(t, before.Files.Taken)
	require.Empty(t, before.Files.Problems)

	save(t, dir, "locations/place.yaml", strings.Replace(place, "level: 50%", "level: 30%", 1))
	outside.Await(t, "the edit on set", func() bool { return string(d.bytes()) == string(looksOf(t, dir, "look")) })
	st := d.files()
	require.Equal(t, 1, st.Files.Taken)
	require.Equal(t, []string{"locations/place.yaml"}, st.Files.Last)
	require.NotEqual(t, before.Revision, st.Revision, "pages draw the plan anew")
	outside.Await(t, "a line", func() bool { return strings.Contains(d.out.String(), "taken in: locations/place.yaml\n") })

	on := d.bytes()
	save(t, dir, "locations/place.yaml", strings.Replace(place, "looks: {look: {paint: [{on: key,", "looks: {look: {paint: [{on: kye,", 1))
	outside.Await(t, "the problem", func() bool { return len(d.files().Files.Problems) > 0 })
	st = d.files()
	p := st.Files.Problems[0]
	require.Equal(t, "locations/place.yaml", p.File)
	require.Equal(t, 8, p.Line)
	require.Positive(t, p.Column)
	require.Equal(t, cues.CodeUnknownGroup, p.Code)
	require.NotEmpty(t, p.Mend)
	codes := map[string]string{}
	for _, w := range st.Warnings {
		codes[w.Code] = w.Where
	}
	require.Contains(t, codes, "show-broken")
	require.Contains(t, codes[p.Code], "locations/place.yaml:8:")
	time.Sleep(time.Second) // in which nothing is to happen
	require.Equal(t, on, d.bytes())
	d.do("cue", `{"look": "look"}`)

	save(t, dir, "locations/place.yaml", place)
	outside.Await(t, "all is well", func() bool { return len(d.files().Files.Problems) == 0 })
	outside.Await(t, "the look", func() bool { return string(d.bytes()) == string(looksOf(t, dir, "look")) })

	// Another location, and then the one that is lit gone: the set stays.
	save(t, dir, "locations/annex.yaml", place)
	outside.Await(t, "a new location", func() bool { return d.files().Files.Taken == 3 })
	require.NoError(t, os.Remove(filepath.Join(dir, "locations", "place.yaml")))
	outside.Await(t, "the refusal", func() bool { return len(d.files().Files.Problems) > 0 })
	require.Equal(t, "location-is-lit", d.files().Files.Problems[0].Code)
	require.Equal(t, "place", d.files().Location)
	d.do("location", `{"name": "annex"}`)
	outside.Await(t, "it is taken in once another is lit", func() bool { return len(d.files().Files.Problems) == 0 })
	status, _ := d.post("location", `{"name": "place"}`)
	require.Equal(t, 404, status)
}

// A set piece that moves makes another light of the place: it is computed anew by a
// process of its own.
func TestServeComputesTheLightOfAnEditedPlace(t *testing.T) {
	dir := t.TempDir()
	writeSmall(t, dir)
	d := startDaemon(t, "serve", dir, "--dry", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.201")
	hash := ""
	outside.AwaitWork(t, "the light is computed", func() bool {
		l := d.state().Light
		hash = l.Hash
		return l.Stage == "bounced"
	})
	place := smallShow["locations/place.yaml"]
	save(t, dir, "locations/place.yaml", "# a comment\n"+place)
	outside.Await(t, "taken in", func() bool { return d.files().Files.Taken == 1 })
	require.Equal(t, hash, d.state().Light.Hash, "the place is the same")
	require.Equal(t, "bounced", d.state().Light.Stage)
	save(t, dir, "locations/place.yaml", strings.Replace(place, "albedo: 0.3", "albedo: 0.6", 1))
	outside.AwaitWork(t, "another light", func() bool {
		l := d.state().Light
		return l.Stage == "bounced" && l.Hash != hash
	})
}

// A daemon that is killed in the middle of edits and cues starts again in the look that
// was on, whatever is on disk then, as long as it can be read.
func TestServeComesBackAfterAKillInTheMiddleOfEdits(t *testing.T) {
	dir := t.TempDir()
	writeSmall(t, dir)
	place := strings.Replace(smallShow["locations/place.yaml"], "looks: {look: {paint: [{on: key, colour: 4300 K, level: 50%}, {on: edge, colour: 4300 K, level: -2 stops under key at a}]}}",
		"looks:\n  look: {paint: [{on: key, colour: 4300 K, level: 50%}]}\n  other: {paint: [{on: edge, colour: 4300 K, level: 20%}]}", 1)
	require.Contains(t, place, "other:")
	save(t, dir, "locations/place.yaml", place)
	binary, err := os.Executable()
	require.NoError(t, err)
	rounds := 6
	for round := range rounds {
		d, kill := startProcess(t, binary, "serve", dir, "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.221", "--artnet-to", "127.0.3.222")
		if round > 0 {
			want := []string{"look", "other"}[(round-1)%2]
			require.Equal(t, want, d.state().Look, "round %d", round)
			is := string(looksOf(t, dir, want))
			outside.Await(t, "the look on the wire", func() bool { return string(d.bytes()) == is })
		}
		done := make(chan struct{})
		go func() { // a person who saves and saves, for a while
			defer close(done)
			for i := range 12 {
				level := []string{"50%", "40%", "30%"}[i%3]
				save(t, dir, "locations/place.yaml", strings.Replace(place, "level: 50%", "level: "+level, 1))
				time.Sleep(time.Duration(20*i) * time.Millisecond)
			}
		}()
		d.do("cue", `{"look": "`+[]string{"look", "other"}[round%2]+`", "fade": "300 ms"}`)
		outside.Await(t, "the look is remembered", func() bool {
			text, _ := os.ReadFile(filepath.Join(dir, stateFile))
			return strings.Contains(string(text), `"look": "`+[]string{"look", "other"}[round%2]+`"`)
		})
		time.Sleep(time.Duration(round*130) * time.Millisecond) // anywhere in the edits
		kill()
		<-done
	}
}

// startProcess runs the command in a process of its own, which kill ends as nobody can
// refuse.
func startProcess(t *testing.T, binary string, args ...string) (d *daemon, kill func()) {
	cmd := &exec.Cmd{Path: binary, Args: append([]string{"linkboy"}, args...)}
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var stderr lockedBuffer
	cmd.Stderr = &stderr
	require.NoError(t, cmd.Start())
	kill = sync.OnceFunc(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	t.Cleanup(kill)
	d = &daemon{t: t, out: &lines{}}
	page := make(chan string, 1)
	go d.listen(out, page)
	select {
	case d.url = <-page:
	case <-time.After(outside.Patience):
		require.FailNow(t, "no page", stderr.String())
	}
	return d, kill
}

// What a program writes and takes in itself is not taken in twice when the watch reads
// it; what is saved by hand at the same time is read after it.
func TestEditsByProgramAndByHand(t *testing.T) {
	dir := t.TempDir()
	writeSmall(t, dir)
	load := func() *cues.Show {
		show, problems := showfile.Load(dir)
		require.False(t, problems.HasErrors(), problems)
		return show
	}
	title := func(name string) string {
		return strings.Replace(smallShow["show.yaml"], "title: Small", "title: "+name, 1)
	}
	editor, _, err := edit.Open(dir)
	require.NoError(t, err)
	show := editor.Show()
	set, _, err := session.Open(session.Config{Show: show})
	require.NoError(t, err)
	s := newShelf(editor, slog.New(slog.DiscardHandler), io.Discard, io.Discard)
	s.set = set
	waits, err := s.edit(true, func() (*cues.Show, []string, error) {
		save(t, dir, "show.yaml", title("By program"))
		return load(), []string{"show.yaml"}, nil
	}, nil)
	require.NoError(t, err)
	require.False(t, waits)
	require.Equal(t, "By program", set.State().Title)
	s.read([]string{"show.yaml"})
	require.Equal(t, 1, s.files().Taken, "once")

	save(t, dir, "show.yaml", title("By hand"))
	s.read([]string{"show.yaml"})
	require.Equal(t, "By hand", set.State().Title)
	require.Equal(t, 2, s.files().Taken)
	_, err = s.edit(true, func() (*cues.Show, []string, error) { return nil, nil, os.ErrExist }, nil)
	require.ErrorIs(t, err, os.ErrExist, "an edit that is refused takes nothing in")
	require.Equal(t, 2, s.files().Taken)
}
