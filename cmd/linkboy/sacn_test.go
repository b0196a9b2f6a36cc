package main

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
	"linkboy/cues/showfile"
)

// listener keeps the newest E1.31 data of every universe that comes to a
// group or an address on loopback.
type listener struct {
	mu   sync.Mutex
	last map[sacn.Universe]sacn.Data
	from map[string]bool // by address
	ends int
}

func (l *listener) take(b []byte, from *net.UDPAddr) {
	var d sacn.Data
	if d.Parse(slices.Clone(b)) != nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if d.Options&sacn.Terminated != 0 {
		l.ends++
		return
	}
	l.last[d.Universe], l.from[from.IP.String()] = d, true
}

// shows reports whether the newest data of a universe are slots.
func (l *listener) shows(u sacn.Universe, slots []byte) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	d, ok := l.last[u]
	return ok && len(slots) > 0 && slices.Equal(d.Slots, slots)
}

func (l *listener) newest(u sacn.Universe) (sacn.Data, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	d, ok := l.last[u]
	return d, ok
}

func (l *listener) endings() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.ends
}

// read fills a listener from a socket until the test ends.
func (l *listener) read(t *testing.T, conn *net.UDPConn) {
	done := make(chan struct{})
	go func() {
		defer close(done)
		b := make([]byte, 2048)
		for {
			n, from, err := conn.ReadFromUDP(b)
			if err != nil {
				return
			}
			l.take(b[:n], from)
		}
	}()
	t.Cleanup(func() { conn.Close(); <-done })
}

func newListener() *listener {
	return &listener{last: map[sacn.Universe]sacn.Data{}, from: map[string]bool{}}
}

// joins listens to the groups of universes on loopback. Where multicast is not
// to be had the test is skipped.
func joins(t *testing.T, universes ...sacn.Universe) *listener {
	t.Helper()
	l := newListener()
	for _, u := range universes {
		lo, err := net.InterfaceByName("lo")
		var conn *net.UDPConn
		if err == nil {
			conn, err = net.ListenMulticastUDP("udp4", lo, &net.UDPAddr{IP: u.Group().AsSlice(), Port: sacn.Port})
		}
		if err != nil {
			if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" && runtime.GOOS == "linux" {
				require.NoError(t, err, "multicast on loopback")
			}
			t.Skipf("no multicast on loopback: %v", err)
		}
		l.read(t, conn)
	}
	return l
}

// --sacn sends what Art-Net sends, by multicast, from the same address.
func TestDemoOverSACN(t *testing.T) {
	l := joins(t, 1, 5)
	t.Run("runs", func(t *testing.T) {
		d := startDaemon(t, "demo", "--sacn", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.65")
		require.Contains(t, d.out.String(), "Art-Net from 127.0.3.65:6454")
		require.Contains(t, d.out.String(), "sACN from 127.0.3.65:")
		d.do("cue", `{"look": "tide", "fade": "0 s"}`)
		outside.Await(t, "the bytes of the API are on the wire", func() bool {
			frames := d.frames()
			return l.shows(1, frames["0:0:1"]) && l.shows(5, frames["0:0:5"])
		})
		got, _ := l.newest(1)
		require.Equal(t, uint8(sacn.DefaultPriority), got.Priority)
		require.Equal(t, "linkboy", got.SourceName.String())
	})
	outside.Await(t, "each is told the end three times", func() bool { return l.endings() >= 6 })
}

// A location says itself how its universes travel, and another location
// otherwise.
func TestOutputsOfALocation(t *testing.T) {
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	l := newListener()
	l.read(t, conn)
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	appendTo(t, filepath.Join(dir, "locations", "deep-end.yaml"), "outputs:\n"+
		"  - {over: art-net}\n"+
		"  - {over: sacn, to: ["+quoted(conn.LocalAddr().String())+"], priority: 150, offset: 100, preview: true}\n")
	d := startDaemon(t, "serve", dir, "--location", "deep-end", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.81")
	outside.Await(t, "the bytes of the API are on the wire, 100 universes up", func() bool { return l.shows(101, d.frames()["0:0:1"]) })
	got, _ := l.newest(101)
	require.Equal(t, uint8(150), got.Priority)
	require.Zero(t, got.Options)

	d.do("location", `{"name": "pump-room"}`)
	outside.Await(t, "which does not send it, so it is ended", func() bool { return l.endings() > 0 })
	d.do("location", `{"name": "deep-end"}`)
	d.do("cue", `{"look": "tide", "fade": "0 s"}`)
	outside.Await(t, "and back", func() bool { return l.shows(101, d.frames()["0:0:1"]) })
}

// A dry run sends nothing to lamps, and marks what it shows.
func TestDryRunIsPreviewed(t *testing.T) {
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	l := newListener()
	l.read(t, conn)
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	appendTo(t, filepath.Join(dir, "locations", "deep-end.yaml"),
		"outputs: [{over: sacn, to: "+quoted(conn.LocalAddr().String())+", preview: true}]\n")
	d := startDaemon(t, "serve", dir, "--dry", "--location", "deep-end", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.97")
	outside.Await(t, "it comes", func() bool { return l.shows(1, d.frames()["0:0:1"]) })
	for range 20 {
		got, _ := l.newest(1)
		require.Equal(t, sacn.Preview, got.Options)
		time.Sleep(time.Second / 44)
	}
}

func appendTo(t *testing.T, file, text string) {
	t.Helper()
	old, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, []byte(strings.TrimRight(string(old), "\n")+"\n"+text), 0o600))
}

func quoted(s string) string { return `"` + s + `"` }

// The outputs in the starter show's comments are sound, and a slip in them is
// told with its mend.
func TestStarterOutputs(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "show")
	require.NoError(t, writeShow("starter", dir))
	file := filepath.Join(dir, "locations", "first-place.yaml")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	open := strings.NewReplacer("# outputs:", "outputs:", "#   - {over", "  - {over").Replace(string(text))
	require.NotEqual(t, string(text), open)
	require.NoError(t, os.WriteFile(file, []byte(open), 0o600))
	show, problems := showfile.Load(dir)
	require.Empty(t, problems)
	require.Len(t, show.Locations[0].Outputs, 2)

	slip := strings.Replace(open, "priority: 100", "priorty: 100", 1)
	require.NoError(t, os.WriteFile(file, []byte(slip), 0o600))
	_, problems = showfile.Load(dir)
	require.ErrorContains(t, problems.Err(), `unknown key "priorty" in an output over sacn`)
	require.ErrorContains(t, problems.Err(), `write "priority"`)
}
