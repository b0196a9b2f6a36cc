package artnet_test

import (
	"bufio"
	"context"
	"encoding/hex"
	"fmt"
	"net"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

// startSource runs an E1.31 source on loopback. What ends it also ends its
// streams.
func startSource(t *testing.T, cfg source.Config) (s *source.Source, end func()) {
	t.Helper()
	cfg.Interface = "127.0.0.1"
	s, err := source.Open(cfg)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx) }()
	ended := false
	end = func() {
		if !ended {
			ended = true
			cancel()
			require.NoError(t, <-done)
		}
	}
	t.Cleanup(end)
	return s, end
}

// multicast skips the test where multicast does not come round on loopback.
func multicast(t *testing.T) {
	t.Helper()
	lo, err := net.InterfaceByName("lo")
	if err == nil {
		var r, s *net.UDPConn
		group := &net.UDPAddr{IP: net.IPv4(239, 255, 249, 254), Port: sacn.Port}
		if r, err = net.ListenMulticastUDP("udp4", lo, group); err == nil {
			defer r.Close()
			if s, err = net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)}); err == nil {
				s.Close()
				src, end := startSource(t, source.Config{CID: sacn.RandomCID()})
				if err = src.SendFrame([]uint16{32767}, [][]byte{{1}}, true); err == nil {
					end()
					return
				}
			}
		}
	}
	if os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" && runtime.GOOS == "linux" {
		t.Fatalf("multicast on loopback: %v; LINKBOY_REQUIRE_TOOLS asks for it", err)
	}
	t.Skipf("this system has no multicast on loopback: %v", err)
}

// A foreign receiver, the npm package sacn 4.6.2, joins the groups and gets a
// universe each from our source.
func TestForeignReceiverHearsOurSource(t *testing.T) {
	multicast(t)
	lines := script(t, "sacn-receiver.js", "sacn", fmt.Sprintf("PORT=%d", sacn.Port), "UNIVERSES=1,291")
	require.True(t, hear(t, lines).Listening)
	cid := sacn.RandomCID()
	s, end := startSource(t, source.Config{CID: cid, Name: "key and fill", Priority: 120, Sync: 7000})
	addresses, slots := []uint16{1, 291, 2}, [][]byte{ramp(512), {9, 8, 7}, {5}}
	stop := make(chan struct{})
	playing := make(chan error, 1)
	go func() {
		for {
			select {
			case <-stop:
				playing <- nil
				return
			case <-time.After(time.Second / 44):
			}
			if err := s.SendFrame(addresses, slots, false); err != nil {
				playing <- err
				return
			}
		}
	}()
	got := map[int]heard{}
	for len(got) < 2 {
		h := hear(t, lines)
		if h.CID == hex.EncodeToString(cid[:]) {
			got[h.Universe] = h
		}
	}
	close(stop)
	require.NoError(t, <-playing)
	for i, universe := range []int{1, 291} {
		h := got[universe]
		h.Sequence = 0
		require.Equal(t, heard{
			Universe: universe, Priority: 120, Name: "key and fill", Sync: 7000, Options: int(sacn.ForceSync),
			CID: hex.EncodeToString(cid[:]), Properties: len(slots[i]) + 1, Slots: hex.EncodeToString(slots[i]),
		}, h)
	}
	end()
	ends := map[int]int{}
	for ends[1] < sacn.Repeats || ends[291] < sacn.Repeats {
		if h := hear(t, lines); h.Options&int(sacn.Terminated) != 0 {
			ends[h.Universe]++
		}
	}
	require.Equal(t, map[int]int{1: 3, 291: 3}, ends)
}

// captured is a packet as the dissector decoded it from the wire.
type captured struct {
	to, ttl, malformed                         string
	cid, name, priority, sync, sequence        string
	options, preview, ended, universe, startAt string
	payload                                    string
}

var capturedFields = []string{
	"ip.dst", "ip.ttl", "_ws.malformed", "acn.cid", "acn.dmx.source_name", "acn.dmx.priority", "acn.dmx.reserved", "acn.dmx.seq_number",
	"acn.dmx.options", "acn.dmx.option_p", "acn.dmx.option_s", "acn.dmx.universe", "acn.dmx.start_code2", "udp.payload",
}

// capture runs the dissector on the E1.31 port of loopback.
func capture(t *testing.T) <-chan captured {
	t.Helper()
	args := []string{"-l", "-n", "-i", "lo", "-f", fmt.Sprintf("udp dst port %d", sacn.Port), "-T", "fields", "-E", "separator=/t",
		"--enable-heuristic", "acn", "-o", "acn.dmx_enable:TRUE"}
	for _, f := range capturedFields {
		args = append(args, "-e", f)
	}
	cmd := exec.Command(outside.Tool(t, "tshark"), args...)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	out := make(chan captured, 1<<12)
	go func() {
		defer close(out)
		for scan := bufio.NewScanner(stdout); scan.Scan(); {
			v := strings.Split(flags.Replace(scan.Text()), "\t")
			if len(v) == len(capturedFields) {
				out <- captured{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8], v[9], v[10], v[11], v[12], strings.ReplaceAll(v[13], ":", "")}
			}
		}
	}()
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		for range out { // the pipe must be read to its end before Wait
		}
		_ = cmd.Wait()
	})
	knock(t, out)
	return out
}

// knock sends datagrams until the capture sees them.
func knock(t *testing.T, out <-chan captured) {
	t.Helper()
	conn, err := net.Dial("udp4", fmt.Sprintf("127.0.0.1:%d", sacn.Port))
	require.NoError(t, err)
	defer conn.Close()
	for end := time.Now().Add(outside.Patience); time.Now().Before(end); {
		_, _ = conn.Write([]byte("knock")) // refused, as nobody is there
		select {
		case <-out:
			return
		case <-time.After(100 * time.Millisecond):
		}
	}
	require.FailNow(t, "the capture sees nothing; has it the right to capture?")
}

// What our source sends, as an independent decoder reads it from the wire. tshark
// 4.0.17 has no fields for synchronization and discovery: those are compared with
// the tables of the standard by their offsets.
func TestDissectorReadsOurSource(t *testing.T) {
	multicast(t)
	out := capture(t)
	cid := sacn.RandomCID()
	s, end := startSource(t, source.Config{CID: cid, Name: "key and fill, Bühne", Priority: 150, Sync: 7000, TTL: 3})
	addresses, slots := []uint16{1, 291}, [][]byte{ramp(512), ramp(100)}
	require.NoError(t, s.PreviewFrame(addresses, slots, true))
	time.Sleep(time.Second / 44)
	require.NoError(t, s.SendFrame(addresses, slots, true))

	var data []captured
	var syncs, lists []string
	take := func(enough func() bool) {
		t.Helper()
		for overdue := time.After(outside.Patience); !enough(); {
			select {
			case c := <-out:
				require.Empty(t, c.malformed, "%+v", c)
				if !strings.Contains(c.payload, hex.EncodeToString(cid[:])) {
					continue // somebody else's
				}
				require.Equal(t, "3", c.ttl, "%+v", c)
				switch c.to {
				case "239.255.27.88": // 7000
					syncs = append(syncs, c.payload)
				case "239.255.250.214":
					lists = append(lists, c.payload)
				default:
					data = append(data, c)
				}
			case <-overdue:
				require.FailNow(t, "too few packets", "%d data, %d syncs, %d lists; %+v", len(data), len(syncs), len(lists), s.Stats())
			}
		}
	}
	take(func() bool { return len(data) >= 4 && len(syncs) >= 2 && len(lists) >= 1 })
	for i, c := range data {
		universe, to := "1", "239.255.0.1"
		if i%2 == 1 {
			universe, to = "291", "239.255.1.35"
		}
		preview, options := "0", "32"
		if i < 2 {
			preview, options = "1", "160"
		}
		require.Equal(t, captured{
			to: to, ttl: "3", cid: cid.String(), name: "key and fill, Bühne", priority: "150", sync: "7000", sequence: fmt.Sprint(i/2 + 1),
			options: options, preview: preview, ended: "0", universe: universe, startAt: "0", payload: c.payload,
		}, c)
		require.Equal(t, hex.EncodeToString(slots[i%2]), c.payload[2*sacn.DataSlotsAt:])
	}
	const root = "00100000" + "4153432d45312e3137000000"
	for i, b := range syncs {
		require.Equal(t, root+"7021"+"00000008"+hex.EncodeToString(cid[:])+"700b"+"00000001"+fmt.Sprintf("%02x", i+1)+"1b58"+"0000", b)
	}
	require.Equal(t, root+"706e"+"00000008"+hex.EncodeToString(cid[:])+"7058"+"00000002", lists[0][:2*44])
	require.Equal(t, "00000000"+"700e"+"00000001"+"00"+"00"+"0001"+"0123"+"1b58", lists[0][2*108:], "one page: 1, 291 and the sync address")

	data = nil
	end()
	take(func() bool { return len(data) == 2*sacn.Repeats })
	for i, c := range data {
		require.Equal(t, "1", c.ended)
		require.Equal(t, "0", c.sync)
		require.Equal(t, fmt.Sprint(i/2+3), c.sequence)
	}
}
