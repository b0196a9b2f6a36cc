package server_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"slices"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues/session"
	"linkboy/server"
)

// quantiles reports the median and the 99th percentile of times.
func quantiles(b *testing.B, name string, times []time.Duration) {
	slices.Sort(times)
	b.ReportMetric(float64(times[len(times)/2].Nanoseconds())/1e3, "p50-us/"+name)
	b.ReportMetric(float64(times[len(times)*99/100].Nanoseconds())/1e3, "p99-us/"+name)
}

// BenchmarkTap is the time from a page's write of a websocket message to the
// director's call, over loopback, beside that of a bare echo of the same bytes
// over TCP: what the network alone costs.
func BenchmarkTap(b *testing.B) {
	b.Run("tcp", benchmarkEcho)
	b.Run("websocket", func(b *testing.B) {
		d := newFake()
		called := make(chan time.Time, 1)
		d.onCue = func() { called <- time.Now() }
		address, _ := runReal(b, newServer(b, d))
		conn := dialWebsocket(b, dialer(address), nil)
		go func() {
			for {
				if _, _, err := conn.ReadMessage(); err != nil {
					return
				}
			}
		}()
		tap := []byte(`{"id": 1, "verb": "cue", "look": "tide", "fade": "4 s"}`)
		var times []time.Duration
		b.ReportAllocs()
		for b.Loop() {
			start := time.Now()
			require.NoError(b, conn.WriteMessage(websocket.TextMessage, tap))
			times = append(times, (<-called).Sub(start))
			d.verbs()
			time.Sleep(time.Second / 120) // a person's rate: more is refused
		}
		quantiles(b, "tap", times)
	})
}

func benchmarkEcho(b *testing.B) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	defer func() { _ = l.Close() }()
	called := make(chan time.Time, 1)
	go func() {
		conn, err := l.Accept()
		if err != nil {
			return
		}
		buf := make([]byte, 56)
		for {
			if _, err := io.ReadFull(conn, buf); err != nil {
				return
			}
			called <- time.Now()
		}
	}()
	conn, err := net.Dial("tcp", l.Addr().String())
	require.NoError(b, err)
	defer func() { _ = conn.Close() }()
	var times []time.Duration
	for b.Loop() {
		start := time.Now()
		_, err := conn.Write(make([]byte, 56))
		require.NoError(b, err)
		times = append(times, (<-called).Sub(start))
		time.Sleep(time.Second / 120)
	}
	quantiles(b, "tap", times)
}

// BenchmarkBroadcast offers one cells frame to every page and lets them read
// it, over loopback.
func BenchmarkBroadcast(b *testing.B) {
	for _, cells := range []int{200, 20_000} {
		for _, pages := range []int{1, 32} {
			b.Run(fmt.Sprintf("cells=%d/pages=%d", cells, pages), func(b *testing.B) { benchmarkBroadcast(b, cells, pages) })
		}
	}
}

func benchmarkBroadcast(b *testing.B, cells, pages int) {
	d := newFake()
	s := newServer(b, d)
	address, _ := runReal(b, s)
	got := make(chan struct{}, pages)
	for range pages {
		conn := dialWebsocket(b, dialer(address), nil)
		go readFrames(conn, 16+12*cells, got)
	}
	// Every page that comes is sent the light that is on, and that would take
	// the place of the first frame.
	time.Sleep(200 * time.Millisecond)
	light := make([]colour.XYZ, cells)
	frame := uint64(0)
	b.ReportAllocs()
	b.SetBytes(int64(pages * (16 + 12*cells)))
	for b.Loop() {
		frame++
		s.Broadcast(1, frame, light)
		for range pages {
			<-got
		}
	}
}

// readFrames reads without allocating and tells of each message of a size.
func readFrames(conn *websocket.Conn, size int, got chan<- struct{}) {
	buf := make([]byte, 64<<10)
	for {
		_, r, err := conn.NextReader()
		if err != nil {
			return
		}
		total := 0
		for err == nil {
			var n int
			n, err = r.Read(buf)
			total += n
		}
		if err != io.EOF {
			return
		}
		if total == size {
			got <- struct{}{}
		}
	}
}

// BenchmarkMessage reads a verb as the websocket brings it, beside what
// encoding/json alone takes into a struct, which tells no nearest field.
func BenchmarkMessage(b *testing.B) {
	text := []byte(`{"id": 41, "verb": "cue", "look": "tide", "fade": "4 s on screen", "at": 0.25}`)
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := server.ParseMessage(text); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("encoding-json", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var m struct {
				ID   int64
				Verb string
				session.CueRequest
			}
			if err := json.Unmarshal(text, &m); err != nil {
				b.Fatal(err)
			}
		}
	})
}
