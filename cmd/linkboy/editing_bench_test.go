package main

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
)

// benchShow writes the demo show, with more looks where asked.
func benchShow(b *testing.B, looks int) string {
	b.Helper()
	dir := filepath.Join(b.TempDir(), "tidewater")
	require.NoError(b, writeShow("tidewater", dir))
	path := filepath.Join(dir, "show.yaml")
	text, err := os.ReadFile(path)
	require.NoError(b, err)
	more := strings.Builder{}
	for i := range looks {
		fmt.Fprintf(&more, "\n  more-%d: {from: warden, wears: tide, paint: [{on: edge, colour: {hue: %d, sat: 80%%}, level: 40%%}]}", i, i)
	}
	require.NoError(b, os.WriteFile(path, []byte(strings.Replace(string(text), "\nlooks:", "\nlooks:"+more.String(), 1)), 0o600))
	return dir
}

// percentiles reports the time that each turn of a benchmark took.
func percentiles(b *testing.B, do func(i int)) {
	var took []time.Duration
	for i := 0; b.Loop(); i++ {
		began := time.Now()
		do(i)
		took = append(took, time.Since(began))
	}
	slices.Sort(took)
	at := func(share float64) float64 {
		return float64(took[int(share*float64(len(took)-1))].Microseconds())
	}
	b.ReportMetric(at(0.5), "p50-us")
	b.ReportMetric(at(0.99), "p99-us")
}

// BenchmarkEditHTTP is an edit from the request to its answer, when it is on disk and
// taken in; beside it the same bytes are only written, synced and renamed.
func BenchmarkEditHTTP(b *testing.B) {
	for k, looks := range []int{0, 200} {
		dir := benchShow(b, looks)
		d := startDaemon(b, "serve", dir, "--dry", "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", fmt.Sprintf("127.0.3.%d", 151+k))
		for _, look := range []string{"undertow", "warden"} { // others start from the second, moving ones too
			b.Run(fmt.Sprintf("%s/looks=%d", look, looks), func(b *testing.B) {
				revision := d.revision()
				percentiles(b, func(i int) {
					d.do("edit", fmt.Sprintf(`{"revision": %d, "edits": [%s]}`, revision, strings.Replace(benchPaint(i), "warden", look, 1)))
					revision++
				})
			})
		}
		b.Run(fmt.Sprintf("write alone/looks=%d", looks), func(b *testing.B) {
			text, err := os.ReadFile(filepath.Join(dir, "show.yaml"))
			require.NoError(b, err)
			percentiles(b, func(int) { require.NoError(b, showfile.WriteAtomic(filepath.Join(b.TempDir(), "other"), text)) })
		})
	}
}

func (d *daemon) revision() uint64 {
	var s struct {
		Edits struct{ Revision uint64 }
	}
	d.get("/api/state", &s)
	return s.Edits.Revision
}

// benchPaint changes the look that the demo starts in, each time another way.
func benchPaint(i int) string {
	return fmt.Sprintf(`{"do": "change", "what": "paint", "of": "warden", "number": 1, "fields": {"level": "%d%%"}}`, 20+i%60)
}

// BenchmarkTry is a try from the request to its answer with all cells of the demo: blind
// and on set from a sketch, and by the files. The baseline is a request that reads as many
// numbers of the look as it is.
func BenchmarkTry(b *testing.B) {
	for k, looks := range []int{0, 200} {
		dir := benchShow(b, looks)
		d := startDaemon(b, "serve", dir, "--dry", "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", fmt.Sprintf("127.0.3.%d", 153+k))
		d.do("cue", `{"look": "warden", "fade": "0 s"}`)
		for _, kind := range []struct {
			name, edit string
			live       bool
		}{
			{"blind", "", false}, {"live", "", true},
			{"files", `{"do": "change", "what": "look", "name": "warden", "fields": {"note": "soft"}},`, false},
		} {
			b.Run(fmt.Sprintf("%s/looks=%d", kind.name, looks), func(b *testing.B) {
				percentiles(b, func(i int) {
					status, text := d.post("try", fmt.Sprintf(`{"look": "warden", "live": %t, "edits": [%s%s]}`, kind.live, kind.edit, benchPaint(i)))
					require.Equal(b, http.StatusOK, status, text)
				})
			})
		}
		b.Run(fmt.Sprintf("as it is/looks=%d", looks), func(b *testing.B) {
			percentiles(b, func(int) {
				res, err := http.Get(d.url + "/api/looks/warden/cells")
				require.NoError(b, err)
				require.NoError(b, res.Body.Close())
			})
		})
	}
}

// BenchmarkTryPace has a thumb ask 20 times a second for ten seconds a turn, and reports
// how late frames were, beside as long without it.
func BenchmarkTryPace(b *testing.B) {
	dir := benchShow(b, 0)
	for k, pace := range []string{"idle", "live", "files"} {
		b.Run(pace, func(b *testing.B) {
			d := startDaemon(b, "serve", dir, "--dry", "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", fmt.Sprintf("127.0.3.%d", 155+k))
			d.do("cue", `{"look": "warden", "fade": "0 s"}`)
			edits := map[string]string{"live": "", "files": `{"do": "change", "what": "look", "name": "warden", "fields": {"note": "soft"}},`}
			for b.Loop() {
				began := time.Now()
				for i := 0; time.Since(began) < 10*time.Second; i++ {
					next := time.After(50 * time.Millisecond)
					if also, moves := edits[pace]; moves {
						d.do("try", fmt.Sprintf(`{"look": "warden", "live": true, "edits": [%s%s]}`, also, benchPaint(i)))
					}
					<-next
				}
			}
			var s struct {
				Output struct {
					P50 int64 `json:"late_us_p50"`
					P99 int64 `json:"late_us_p99"`
					Max int64 `json:"late_us_max"`
				}
			}
			d.get("/api/state", &s)
			b.ReportMetric(float64(s.Output.P50), "late-p50-us")
			b.ReportMetric(float64(s.Output.P99), "late-p99-us")
			b.ReportMetric(float64(s.Output.Max), "late-max-us")
		})
	}
}
