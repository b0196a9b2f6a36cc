package edit_test

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile/edit"
)

var update = flag.Bool("update", false, "write the golden files; read them before you commit")

// TestGolden makes each edit of testdata/edits.txt on the small show in several
// styles, and compares the lines that change with those of the golden file of
// the style. An edit that is refused has its problem there.
func TestGolden(t *testing.T) {
	list, err := os.ReadFile("testdata/edits.txt")
	require.NoError(t, err)
	for name, files := range goldenStyles(t) {
		t.Run(name, func(t *testing.T) {
			show := mustLoad(t, ".", files)
			var b strings.Builder
			for line := range strings.Lines(string(list)) {
				line = strings.TrimSpace(line)
				if line == "" || line[0] == '#' {
					fmt.Fprintln(&b, line)
					continue
				}
				e, p := edit.DecodeEdit([]byte(line))
				require.Nil(t, p, line)
				fmt.Fprintf(&b, "%s\n    %s\n", line, e)
				after, _, p := edit.Make(show, files, e)
				if p != nil {
					fmt.Fprintf(&b, "    refused: %v\n", p)
					continue
				}
				if _, problems := edit.Load(".", after); problems.HasErrors() {
					fmt.Fprintf(&b, "    refused: %v\n", problems.Errors()[0])
					continue
				}
				for _, file := range slices.Sorted(maps.Keys(files)) {
					if _, there := after[file]; !there {
						fmt.Fprintf(&b, "    gone: %s\n", file)
					}
				}
				for _, file := range slices.Sorted(maps.Keys(after)) {
					if !bytes.Equal(files[file], after[file]) {
						writeDiff(&b, file, files[file], after[file])
					}
				}
			}
			path := filepath.Join("testdata", "golden", name+".txt")
			if *update {
				require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
				require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
				return
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(want), b.String(), "run with -update if the new text is better")
		})
	}
}

func writeDiff(b *strings.Builder, file string, before, after []byte) {
	for _, h := range edit.Diff(before, after) {
		fmt.Fprintf(b, "    %s:%d\n", file, h.At+1)
		head, tail := 0, 0
		if len(h.Before) == 1 && len(h.After) == 1 {
			head, tail = alike(h.Before[0], h.After[0])
		}
		for _, line := range h.Before {
			fmt.Fprintf(b, "    - %s\n", cut(line, head, tail))
		}
		for _, line := range h.After {
			fmt.Fprintf(b, "    + %s\n", cut(line, head, tail))
		}
	}
}

// alike gives how much of two long lines is the same at both ends, but for some
// letters beside what differs; 0 for short ones.
func alike(x, y string) (head, tail int) {
	const beside = 30
	if max(len(x), len(y)) < 160 {
		return 0, 0
	}
	for head < min(len(x), len(y)) && x[head] == y[head] {
		head++
	}
	for tail < min(len(x), len(y))-head && x[len(x)-1-tail] == y[len(y)-1-tail] {
		tail++
	}
	return max(0, head-beside), max(0, tail-beside)
}

func cut(line string, head, tail int) string {
	text := line[head : len(line)-tail]
	if head > 0 {
		text = "..." + text
	}
	if tail > 0 {
		text += "..."
	}
	return strings.NewReplacer("\r", "␍", "\n", "", "\uFEFF", "␂").Replace(strings.ToValidUTF8(text, ""))
}

// goldenStyles gives the small show as it is written, in lines and in brackets
// alone, and in some odd mixtures of these.
func goldenStyles(t *testing.T) map[string]map[string][]byte {
	small := smallShow(t)
	out := map[string]map[string][]byte{"as-written": small, "lines": {}, "brackets": {}}
	for name, data := range small {
		root := parseTree(t, data)
		lines := &stylist{Rand: rand.New(rand.NewPCG(0, 0)), calm: 1 << 30, always: true}
		out["lines"][name] = lines.file(root)
		brackets := &stylist{Rand: rand.New(rand.NewPCG(0, 0)), calm: 1 << 30}
		out["brackets"][name] = []byte(brackets.flow(root, 0, true))
	}
	for _, seed := range []uint64{1, 2, 8} {
		out[fmt.Sprintf("odd-%d", seed)] = styled(t, seed, small)
	}
	return out
}
