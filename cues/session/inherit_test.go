package session

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// What is taken over of a look after an edit is what compiling it anew gives, whatever was
// edited: each edit is made on files, and both ways compared.
func TestInheritedLooksAreTheSame(t *testing.T) {
	dir := t.TempDir()
	source := filepath.Join("..", "..", "cmd", "linkboy", "shows", "tidewater")
	require.NoError(t, os.CopyFS(dir, os.DirFS(source)))
	load := func() *cues.Show {
		show, problems := showfile.Load(dir)
		require.False(t, problems.HasErrors(), problems)
		return show
	}
	open := func(show *cues.Show, old *site) *site {
		loc := show.Location("deep-end")
		s, _, problems := newSite(show, loc, loc.Setups[0], nil, old)
		require.NotNil(t, s, problems)
		s.compileLooks()
		return s
	}
	old := open(load(), nil)
	for _, edit := range []struct {
		file, from, to string
		taken          bool // some look is taken over
	}{
		{"show.yaml", "title: Tidewater", "title: Another", true},
		{"show.yaml", "  warden: {lead: {hue: 32", "  warden: {lead: {hue: 31", true},
		{"show.yaml", "lead: {hue: ", "lead: {hue: 1", true},
		{"show.yaml", "level: 40%", "level: 35%", true},
		{"show.yaml", "fps: 24", "fps: 48", false},
		{"show.yaml", "iso: ", "iso: 1", false},
		{"locations/deep-end.yaml", "groups:", "groups:\n  spare: [lane-1]", false},
	} {
		path := filepath.Join(dir, filepath.FromSlash(edit.file))
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, string(text), edit.from)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), edit.from, edit.to, 1)), 0o600))
		show := load()
		fresh, next := open(show, nil), open(show, old)
		taken := 0
		for key, get := range next.looks {
			is, want := get(), fresh.looks[key]()
			require.Same(t, want.look, is.look)
			require.Equal(t, want.still, is.still, "%s after %q", key.look, edit.to)
			require.Equal(t, want.motion, is.motion, "%s after %q", key.look, edit.to)
			require.Equal(t, want.problems, is.problems, "%s after %q", key.look, edit.to)
			if was := old.looks[key]; was != nil && is.still != nil && len(is.still) > 0 && len(was().still) > 0 && &is.still[0] == &was().still[0] {
				taken++
			}
		}
		require.Equal(t, edit.taken, taken > 0, "%q: %d taken over", edit.to, taken)
		require.NoError(t, os.WriteFile(path, text, 0o600))
	}
}
