package main

import (
	"encoding/json"
	"net/netip"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/cues/showfile"
)

// BenchmarkTapToDatagram: from a websocket message leaving a client to the
// first changed frame of the cue at a node, all on loopback, with the whole
// daemon between. The baseline is the same client's round trip of a message
// that changes nothing (hold with no fade on, refused).
func BenchmarkTapToDatagram(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "tidewater")
	require.NoError(b, writeShow("tidewater", dir))
	show, _ := showfile.Load(dir)
	bind := netip.AddrFrom4([4]byte{127, 0, 3, 129})
	arrived := make(chan time.Time, 1024)
	var last []byte
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(bind.Next(), artnet.Port), Ports: portsOf(show),
		AnswerDelay: func() time.Duration { return 0 },
		Output: func(port artnet.PortAddress, slots []byte, _ uint8) {
			if port == 1 && !slices.Equal(slots, last) {
				last = append(last[:0], slots...)
				arrived <- time.Now()
			}
		},
	})
	require.NoError(b, err)
	runFor(b, node.Run)
	d := startDaemon(b, "serve", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", bind.String())
	<-arrived

	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(d.url, "http")+"/ws", nil)
	require.NoError(b, err)
	defer conn.Close()
	answers := make(chan struct{}, 1024)
	go func() {
		for {
			_, text, err := conn.ReadMessage()
			if err != nil {
				return
			}
			var m struct{ Type string }
			if json.Unmarshal(text, &m) == nil && m.Type == "answer" {
				answers <- struct{}{}
			}
		}
	}()

	var taps, trips []time.Duration
	looks := []string{"tide", "warden"}
	for i := 0; b.Loop(); i++ {
		began := time.Now()
		send(b, conn, map[string]any{"id": 2*i + 1, "verb": "cue", "look": looks[i%2], "fade": "0 s"})
		taps = append(taps, (<-arrived).Sub(began))
		<-answers
		began = time.Now()
		send(b, conn, map[string]any{"id": 2*i + 2, "verb": "hold"})
		<-answers
		trips = append(trips, time.Since(began))
		time.Sleep(time.Second / 44) // no faster than frames, as the standard asks
	}
	slices.Sort(taps)
	slices.Sort(trips)
	at := func(s []time.Duration, share float64) float64 {
		return float64(s[int(share*float64(len(s)-1))].Microseconds())
	}
	b.ReportMetric(at(taps, 0.5), "tap-p50-us")
	b.ReportMetric(at(taps, 0.99), "tap-p99-us")
	b.ReportMetric(at(trips, 0.5), "trip-p50-us")
	b.ReportMetric(at(taps, 0.5)/max(1, at(trips, 0.5)), "tap/trip")
}

func send(b *testing.B, conn *websocket.Conn, message any) {
	b.Helper()
	require.NoError(b, conn.WriteJSON(message))
}
