package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"
)

// answering is a page's link that notes when each answer comes.
type answering struct {
	conn *websocket.Conn
	mu   sync.Mutex
	at   map[int]time.Time
	came chan int
}

func dialAnswering(b *testing.B, address string) *answering {
	b.Helper()
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(address, "http")+"/ws", nil)
	require.NoError(b, err)
	b.Cleanup(func() { conn.Close() })
	a := &answering{conn: conn, at: map[int]time.Time{}, came: make(chan int, 4096)}
	go a.read()
	return a
}

func (a *answering) read() {
	for {
		kind, text, err := a.conn.ReadMessage()
		if err != nil {
			return
		}
		var m struct {
			Type string
			ID   int
		}
		if kind == websocket.TextMessage && json.Unmarshal(text, &m) == nil && m.Type == "answer" {
			a.mu.Lock()
			a.at[m.ID] = time.Now()
			a.mu.Unlock()
			a.came <- m.ID
		}
	}
}

func benchDaemon(b *testing.B, host byte) *daemon {
	b.Helper()
	dir := filepath.Join(b.TempDir(), "tidewater")
	require.NoError(b, writeShow("tidewater", dir))
	return startDaemon(b, "demo", "--show", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept",
		"--artnet-bind", fmt.Sprintf("127.0.3.%d", host))
}

func share(times []time.Duration, of float64) float64 {
	slices.Sort(times)
	return float64(times[int(of*float64(len(times)-1))].Microseconds()) / 1000
}

// BenchmarkTapToAccepted is the time from a tap's message to its answer, over loopback
// with the whole daemon between: with one page, and while 50 more take all that is pushed.
func BenchmarkTapToAccepted(b *testing.B) {
	alone := 0.0
	for _, others := range []int{0, 50} {
		b.Run(fmt.Sprintf("others=%d", others), func(b *testing.B) {
			d := benchDaemon(b, 195)
			for range others {
				dialAnswering(b, d.url)
			}
			a := dialAnswering(b, d.url)
			looks := []string{"tide", "warden"}
			var times []time.Duration
			for id := 1; b.Loop(); id++ {
				began := time.Now()
				send(b, a.conn, map[string]any{"id": id, "verb": "cue", "look": looks[id%2], "fade": "2 s"})
				<-a.came
				times = append(times, time.Since(began))
				time.Sleep(100 * time.Millisecond) // a quick hand
			}
			b.ReportMetric(share(times, 0.5), "p50-ms")
			b.ReportMetric(share(times, 0.95), "p95-ms")
			b.ReportMetric(0, "ns/op")
			if others == 0 {
				alone = share(times, 0.95)
			} else if alone > 0 {
				b.ReportMetric(share(times, 0.95)/alone, "p95/alone")
			}
		})
	}
}

// BenchmarkRide sends where a thumb is 30 times a second, and waits for no answer: how
// long each takes, and how many were unanswered at once.
func BenchmarkRide(b *testing.B) {
	d := benchDaemon(b, 197)
	a := dialAnswering(b, d.url)
	send(b, a.conn, map[string]any{"id": 1, "verb": "cue", "look": "tide", "fade": "60 s", "at": 0.01})
	<-a.came
	sent := map[int]time.Time{}
	most, tick := 0, time.NewTicker(time.Second/30)
	defer tick.Stop()
	id := 1
	for b.Loop() {
		<-tick.C
		id++
		sent[id] = time.Now()
		send(b, a.conn, map[string]any{"id": id, "verb": "ride", "at": 0.05 + 0.9*float64(id%60)/60})
		a.mu.Lock()
		most = max(most, id-len(a.at))
		a.mu.Unlock()
	}
	for last := 0; last != id; {
		last = <-a.came
	}
	var times []time.Duration
	for n, at := range sent {
		times = append(times, a.at[n].Sub(at))
	}
	b.ReportMetric(share(times, 0.5), "p50-ms")
	b.ReportMetric(share(times, 0.95), "p95-ms")
	b.ReportMetric(float64(most), "unanswered-most")
	b.ReportMetric(0, "ns/op")
}
