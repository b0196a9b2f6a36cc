package showfile_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
)

// Faults put into every place of the base show where they can be: the first
// problem stands on the line of the fault.
func TestSyntaxLine(t *testing.T) {
	for file, f := range base(t) {
		text := string(f.Data)
		for i, c := range text {
			line := 1 + strings.Count(text[:i], "\n")
			switch {
			case strings.ContainsRune("[]{}", c):
				requireAt(t, file, line, text[:i]+text[i+1:], "a bracket is missing")
			case strings.HasPrefix(text[i:], "\n  "):
				requireAt(t, file, line+1, text[:i+1]+"\t"+text[i+3:], "a tab")
			case c == '\n' && i < len(text)-1:
				requireAt(t, file, line+1, text[:i+1]+"`"+text[i+1:], "a character that starts nothing")
			}
		}
	}
}

func requireAt(t *testing.T, file string, line int, text, fault string) {
	fsys := base(t)
	fsys[file] = &fstest.MapFile{Data: []byte(text)}
	_, problems := showfile.LoadFS(fsys, "tidewater")
	requireWellFormed(t, fsys, problems)
	require.NotEmpty(t, problems, "%s at %s:%d", fault, file, line)
	require.Equal(t, file, problems[0].File, fault)
	require.Equal(t, line, problems[0].Line, "%s at %s:%d: %v", fault, file, line, problems[0])
}
