package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/edit"
)

// BenchmarkReread is what a saved file costs until it is on set, for the demo's show and
// for one of 200 looks more: reading it alone, and taking it in while a session plays.
func BenchmarkReread(b *testing.B) {
	for _, looks := range []int{0, 200} {
		dir := benchShow(b, looks)
		path := filepath.Join(dir, "show.yaml")
		text, err := os.ReadFile(path)
		require.NoError(b, err)
		write := func(i int) {
			require.NoError(b, os.WriteFile(path, fmt.Appendf(nil, "%s# %d\n", strings.Replace(string(text), "title: Tidewater", fmt.Sprintf("title: Tidewater %d", i), 1), i), 0o600))
		}
		b.Run(fmt.Sprintf("load/looks=%d", looks), func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				write(i)
				_, problems := showfile.Load(dir)
				require.False(b, problems.HasErrors(), problems)
			}
		})
		b.Run(fmt.Sprintf("taken in/looks=%d", looks), func(b *testing.B) {
			editor, problems, err := edit.Open(dir)
			require.NoError(b, err)
			require.False(b, problems.HasErrors(), problems)
			set, _, err := session.Open(session.Config{Show: editor.Show(), Location: "deep-end"})
			require.NoError(b, err)
			ctx, cancel := context.WithCancel(b.Context())
			done := make(chan error, 1)
			go func() { done <- set.Run(ctx) }()
			s := newShelf(editor, slog.New(slog.DiscardHandler), io.Discard, io.Discard)
			s.set = set
			for i := 0; b.Loop(); i++ {
				write(i + 1000000)
				s.read([]string{"show.yaml"})
				require.Empty(b, s.files().Problems)
			}
			cancel()
			require.NoError(b, <-done)
		})
	}
}
