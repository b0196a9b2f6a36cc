package main

import (
	"bufio"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// datagram is one packet as the dissector decoded it.
type datagram struct {
	at        float64 // seconds
	from, to  string
	opcode    string // "0x5000"; empty when it was not taken for Art-Net
	sequence  int
	universe  int
	length    int
	malformed bool
}

// The op codes that the demo sends (Art-Net 4, table of OpCodes).
const (
	opPoll      = "0x2000"
	opPollReply = "0x2100"
	opDmx       = "0x5000"
)

// sniff runs the dissector on loopback and gives what it decodes; the capture
// runs before sniff returns and ends with the test.
func sniff(t *testing.T, filter string) <-chan datagram {
	t.Helper()
	tshark := outside.Tool(t, "tshark")
	args := []string{"-l", "-n", "-i", "lo", "-f", filter, "-T", "fields", "-E", "separator=,"}
	for _, field := range []string{"frame.time_epoch", "ip.src", "ip.dst", "artnet.header.opcode", "artnet.output.sequence", "artnet.output.universe", "artnet.output.length", "_ws.malformed"} {
		args = append(args, "-e", field)
	}
	cmd := exec.Command(tshark, args...)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	stderr, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())

	capturing := make(chan string, 1)
	go func() {
		scan := bufio.NewScanner(stderr)
		for scan.Scan() {
			if strings.Contains(scan.Text(), "Capturing on") {
				capturing <- scan.Text()
			}
		}
	}()
	out := make(chan datagram, 1<<16)
	go func() {
		defer close(out)
		rows := csv.NewReader(stdout)
		rows.FieldsPerRecord = -1
		for {
			row, err := rows.Read()
			if err != nil {
				return
			}
			out <- decoded(row)
		}
	}()
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		for range out { // the pipe must be read to its end before Wait
		}
		_ = cmd.Wait()
	})
	select {
	case <-capturing:
	case <-time.After(outside.Patience):
		require.FailNow(t, "tshark does not capture")
	}
	return out
}

func decoded(row []string) datagram {
	number := func(s string) int { n, _ := strconv.ParseInt(s, 0, 32); return int(n) }
	at, _ := strconv.ParseFloat(row[0], 64)
	return datagram{
		at: at, from: row[1], to: row[2], opcode: row[3], sequence: number(row[4]),
		universe: number(row[5]), length: number(row[6]), malformed: row[7] != "",
	}
}

func TestDemoOnTheWire(t *testing.T) {
	seen := sniff(t, "udp port 6454 and net 127.0.3.0/28")
	d := startDaemon(t, "demo", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.1")
	outside.Await(t, "the software rig answers", func() bool { return len(d.state().Nodes) > 0 })
	require.Equal(t, "deep-end", d.state().Location)
	d.do("cue", `{"look": "warden", "fade": "0 s"}`)
	began := float64(time.Now().UnixNano()) / 1e9
	d.do("cue", `{"look": "tide", "fade": "4 s"}`)
	outside.Await(t, "the fade ends", func() bool { s := d.state(); return s.Fade == nil && s.Look == "tide" })

	var all []datagram
	polls := 0
	for deadline := time.After(outside.Patience); polls < 4; {
		select {
		case p, ok := <-seen:
			require.True(t, ok, "the capture ended")
			all = append(all, p)
			if p.opcode == opPoll && p.from == "127.0.3.1" {
				polls++
			}
		case <-deadline:
			require.FailNow(t, "too few polls", "%d in %s", polls, outside.Patience)
		}
	}

	for _, p := range all {
		require.False(t, p.malformed, "malformed: %+v", p)
		require.Contains(t, []string{opPoll, opPollReply, opDmx}, p.opcode, "%+v", p)
		if p.opcode == opDmx {
			require.NotEqual(t, "127.255.255.255", p.to, "ArtDmx is never broadcast")
			require.Zero(t, p.length%2, "even length: %+v", p)
		}
	}
	checkPolls(t, all)
	checkDmx(t, all, began)
}

// checkPolls: a controller polls every 2.5 to 3 s (Art-Net 4, ArtPoll).
func checkPolls(t *testing.T, all []datagram) {
	var last float64
	for _, p := range all {
		if p.opcode != opPoll || p.from != "127.0.3.1" || p.to != "127.255.255.255" {
			continue
		}
		if last != 0 {
			// Half a millisecond for the capture's own clock.
			require.InDelta(t, 2.75, p.at-last, 0.2505, "seconds between polls")
		}
		last = p.at
	}
	require.NotZero(t, last, "no poll was broadcast")
}

// checkDmx: sequences run 1..255 in order on every port-address, and all
// change at 44 Hz within 1 while the fade that began at began runs.
func checkDmx(t *testing.T, all []datagram, began float64) {
	last := map[int]int{}
	during := map[int]int{}
	const from, to = 0.5, 3.5 // of a fade of 4 s
	for _, p := range all {
		// Other programs on loopback may take part: only what passes from
		// this demo's controller to its own node counts.
		if p.opcode != opDmx || p.from != "127.0.3.1" || p.to != "127.0.3.2" {
			continue
		}
		if before, ok := last[p.universe]; ok {
			require.Equal(t, before%255+1, p.sequence, "sequence of universe %d", p.universe)
		}
		last[p.universe] = p.sequence
		if s := p.at - began; s >= from && s < to {
			during[p.universe]++
		}
	}
	require.Len(t, during, 5, "port-addresses that move")
	for universe, frames := range during {
		require.InDelta(t, 44, float64(frames)/(to-from), 1, "frames a second on universe %d", universe)
	}
}

// TestForeignNodeSeesTheSameBytes sends the demo to an Art-Net receiver that
// knows nothing of this project (npm dmxnet 0.9.0).
func TestForeignNodeSeesTheSameBytes(t *testing.T) {
	node, modules := outside.NodeModules(t, "dmxnet")
	port := outside.FreePort(t)
	cmd := exec.Command(node, filepath.Join("testdata", "foreign-node.cjs"), strconv.Itoa(port), "0:0:1", "0:0:5")
	cmd.Env = append(os.Environ(), "NODE_PATH="+modules)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	got := make(chan map[string]string, 1<<14)
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	go func() {
		scan := bufio.NewScanner(stdout)
		for scan.Scan() {
			m := map[string]string{}
			if json.Unmarshal(scan.Bytes(), &m) == nil {
				got <- m
			}
		}
	}()
	require.Equal(t, "yes", receive(t, got)["ready"])

	d := startDaemon(t, "demo", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.33", "--artnet-to", "127.0.3.44:"+strconv.Itoa(port))
	d.do("cue", `{"look": "tide", "fade": "1 s"}`)
	outside.Await(t, "the fade ends", func() bool { s := d.state(); return s.Fade == nil && s.Look == "tide" })
	sent := d.frames()
	want := []string{"0:0:1", "0:0:5"}
	for deadline := time.Now().Add(outside.Patience); len(want) > 0; {
		require.True(t, time.Now().Before(deadline), "other bytes arrived on %v", want)
		m := receive(t, got)
		if m["slots"] == hex.EncodeToString(sent[m["port"]]) {
			want = slices.DeleteFunc(want, func(p string) bool { return p == m["port"] })
		}
	}
}

// receive takes the next message, or fails the test.
func receive[T any](t *testing.T, from <-chan T) T {
	t.Helper()
	select {
	case v := <-from:
		return v
	case <-time.After(outside.Patience):
		require.FailNow(t, "nothing came")
		panic("unreachable")
	}
}

// frames gives the newest bytes of every port-address, by "net:sub-net:universe".
func (d *daemon) frames() map[string][]byte {
	d.t.Helper()
	var body struct {
		Frames []struct {
			Address string `json:"address"`
			Slots   []byte `json:"slots"`
		} `json:"frames"`
	}
	d.get("/api/frames", &body)
	frames := map[string][]byte{}
	for _, f := range body.Frames {
		frames[f.Address] = f.Slots
	}
	return frames
}
