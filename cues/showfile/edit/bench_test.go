package edit_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
	"linkboy/cues/showfile/edit"
)

// BenchmarkApply edits a show on disk: from the call to the file, its backup and
// the history being safe. Beside it the same file is only written, safely: the
// ratio is what reading, checking, the backup and the history cost.
func BenchmarkApply(b *testing.B) {
	for _, of := range []struct {
		name string
		dir  func(b *testing.B) string
	}{{"demo", demoOnDisk}, {"looks=200", bigOnDisk}} {
		dir := of.dir(b)
		e, problems, err := edit.Open(dir)
		require.NoError(b, err)
		require.Empty(b, problems.Errors())
		path := filepath.Join(dir, "show.yaml")
		text, err := os.ReadFile(path)
		require.NoError(b, err)
		levels := []string{"31%", "32%"}
		b.Run(of.name+"/edit", func(b *testing.B) {
			i := 0
			timed(b, func() {
				i++
				_, err := e.Apply(e.Revision(), level(1, levels[i%2]))
				require.NoError(b, err)
			})
		})
		b.Run(of.name+"/load-alone", func(b *testing.B) {
			timed(b, func() {
				_, problems := showfile.Load(dir)
				require.Empty(b, problems.Errors())
			})
		})
		b.Run(of.name+"/write-alone", func(b *testing.B) {
			other := filepath.Join(dir, "other")
			timed(b, func() { require.NoError(b, showfile.WriteAtomic(other, text)) })
		})
	}
}

// BenchmarkReread takes a change by hand in a show of 200 looks in.
func BenchmarkReread(b *testing.B) {
	dir := bigOnDisk(b)
	e := open(b, dir)
	text := []byte(readFile(b, dir, "show.yaml"))
	i := 0
	timed(b, func() {
		i++
		writeFile(b, dir, "show.yaml", append(text[:len(text):len(text)], strings.Repeat("# by hand\n", i%2)...))
		_, err := e.Reread()
		require.NoError(b, err)
	})
}

// timed runs do and reports the middle and the worst of a hundred.
func timed(b *testing.B, do func()) {
	b.ReportAllocs()
	var all []time.Duration
	for b.Loop() {
		start := time.Now()
		do()
		all = append(all, time.Since(start))
	}
	slices.Sort(all)
	b.ReportMetric(float64(all[len(all)/2].Microseconds()), "p50-us")
	b.ReportMetric(float64(all[len(all)*99/100].Microseconds()), "p99-us")
}

func demoOnDisk(b *testing.B) string {
	dir := b.TempDir()
	require.NoError(b, os.CopyFS(dir, os.DirFS(demo)))
	return dir
}

// bigOnDisk is the small show with 200 looks more.
func bigOnDisk(b *testing.B) string {
	dir := onDisk(b)
	var looks strings.Builder
	for i := range 200 {
		fmt.Fprintf(&looks, "  # The light of scene %[1]d.\n  scene %[1]d:\n    from: warden\n    paint:\n", i)
		for range 6 {
			looks.WriteString("      - {on: edge, pattern: alternate, colours: [lead, second], level: 40%}\n")
		}
	}
	writeFile(b, dir, "show.yaml", []byte(readFile(b, dir, "show.yaml")+looks.String()))
	return dir
}
