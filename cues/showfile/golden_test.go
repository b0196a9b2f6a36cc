package showfile_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

var update = flag.Bool("update", false, "write the problems found into the golden files; read them before you commit")

// baseShow is a small sound show; every case in testdata lays its own files over it.
const baseShow = "testdata/base.txtar"

// TestGolden reads every show in testdata and compares its problems with the
// text under "-- want --": "ok", or a line for each problem,
// file:line:column: code: what, and its mend on the next line. A line
// "without: FILE" in the head takes a file of the base show away.
func TestGolden(t *testing.T) {
	cases, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.Greater(t, len(cases), 40)
	for _, path := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			require.NoError(t, err)
			fsys, want := caseFiles(t, path, archive)
			show, problems := showfile.LoadFS(fsys, "tidewater")
			requireWellFormed(t, fsys, problems)
			require.True(t, show != nil || problems.HasErrors(), "no show and no reason")
			got := golden(problems)
			if *update {
				write(t, path, archive, got)
				return
			}
			require.Equal(t, want, got, "run with -update if the new text is better")
		})
	}
}

// caseFiles gives the show of a case and what is expected of it.
func caseFiles(t *testing.T, path string, archive *txtar.Archive) (fstest.MapFS, string) {
	fsys, want := base(t), ""
	for _, f := range archive.Files {
		if f.Name == "want" {
			want = string(f.Data)
			continue
		}
		fsys[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	for line := range strings.Lines(string(archive.Comment)) {
		if file, ok := strings.CutPrefix(strings.TrimSpace(line), "without: "); ok {
			require.Contains(t, fsys, file)
			delete(fsys, file)
		}
	}
	return fsys, want
}

func base(t testing.TB) fstest.MapFS {
	archive, err := txtar.ParseFile(baseShow)
	require.NoError(t, err)
	fsys := fstest.MapFS{}
	for _, f := range archive.Files {
		if f.Name != "want" {
			fsys[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	return fsys
}

func golden(problems cues.Problems) string {
	if len(problems) == 0 {
		return "ok\n"
	}
	var b strings.Builder
	for _, p := range problems {
		kind := ""
		if p.Severity == cues.Warning {
			kind = "warning "
		}
		fmt.Fprintf(&b, "%s: %s%s: %s\n\twhy: %s\n\tmend: %s\n", p.Pos, kind, p.Code, p.What, p.Why, p.Mend)
	}
	return b.String()
}

func write(t *testing.T, path string, archive *txtar.Archive, got string) {
	for i, f := range archive.Files {
		if f.Name == "want" {
			archive.Files = append(archive.Files[:i], archive.Files[i+1:]...)
			break
		}
	}
	archive.Files = append(archive.Files, txtar.File{Name: "want", Data: []byte(got)})
	require.NoError(t, os.WriteFile(path, txtar.Format(archive), 0o644))
}

// requireWellFormed checks what holds for the problems of any show, however
// broken.
func requireWellFormed(t testing.TB, fsys fstest.MapFS, problems cues.Problems) {
	t.Helper()
	sorted := append(cues.Problems(nil), problems...)
	sorted.Sort()
	require.Equal(t, sorted, problems)
	seen := map[string]bool{}
	for _, p := range problems {
		text := p.Error()
		require.NotEmpty(t, p.What, text)
		require.NotEmpty(t, p.Why, text)
		require.NotEmpty(t, p.Mend, text)
		require.NotEmpty(t, cues.Explain(p.Code), "code %q is not in the catalogue", p.Code)
		require.Equal(t, cues.NewProblem(p.Pos, p.Code, "", "", "").Severity, p.Severity)
		require.NotContains(t, text, "showfile.", "a Go type has no place in a problem: %s", text)
		require.False(t, seen[p.Code+text], "told twice: %s", text)
		seen[p.Code+text] = true
		if p.Line == 0 {
			continue
		}
		require.Contains(t, fsys, p.File)
		lines := strings.Split(string(fsys[p.File].Data), "\n")
		require.LessOrEqual(t, p.Line, len(lines), text)
		require.LessOrEqual(t, p.Column, len([]rune(lines[p.Line-1]))+1, text)
		require.NotEmpty(t, showfile.Excerpt(fsys[p.File].Data, p.Pos))
	}
}
