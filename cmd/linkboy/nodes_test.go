package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/netip"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
	"linkboy/cues/session"
	"linkboy/server"
)

// nodeOn starts a software node on loopback, on a port of its own so that no
// other test hears it.
func nodeOn(t *testing.T, host byte, port int, name string, ports ...artnet.PortAddress) *fakenode.Node {
	t.Helper()
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 3, host}), uint16(port)), Ports: ports, Name: name,
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	runFor(t, node.Run)
	if !node.Discoverable() {
		t.Skip("this system has no broadcasts on loopback")
	}
	return node
}

// output runs a command that ends by itself.
func output(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	ctx, cancel := context.WithTimeout(t.Context(), outside.Patience)
	defer cancel()
	code = run(ctx, args, &out, &errs)
	return code, out.String(), errs.String()
}

func TestNodesCommand(t *testing.T) {
	port := outside.FreePort(t)
	flags := []string{"--artnet-bind", "127.0.3.200", "--artnet-port", fmt.Sprint(port)}
	nodeOn(t, 201, port, "wall", 1, 2, 3, 0x7ff0)
	nodeOn(t, 202, port, "hut", 1)

	code, stdout, stderr := output(t, append([]string{"nodes"}, flags...)...)
	require.Equal(t, exitDone, code, stderr)
	require.Regexp(t, `(?m)^NAME +ADDRESS +IS A +PUTS OUT +TAKES IN +FIRMWARE +SEEN$`, stdout)
	require.Regexp(t, `(?m)^wall +127\.0\.3\.201 +node +0:0:1 to 0:0:3, 127:15:0 +- +0\.1 +\d`, stdout)
	require.Regexp(t, `(?m)^hut +127\.0\.3\.202 +node +0:0:1 `, stdout)
	require.Contains(t, stdout, "ESTA 0x7ff0, OEM 0x00ff")
	require.Contains(t, stdout, "indicators normal, port-address set at the device")
	require.NotContains(t, stdout, "warning")
	require.Empty(t, stderr)
}

// With a show, its rig is compared with what answers.
func TestNodesCommandWithAShow(t *testing.T) {
	port := outside.FreePort(t)
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	nodeOn(t, 211, port, "wall", 1, 2, 0x100)
	nodeOn(t, 212, port, "hut", 2)
	code, stdout, stderr := output(t, "nodes", dir, "deep-end", "--json", "--artnet-bind", "127.0.3.210", "--artnet-port", fmt.Sprint(port))
	require.Equal(t, exitDone, code, stderr)
	var got struct {
		From  string
		Nodes []struct {
			server.NodeInfo
			Style string
		}
		Warnings []session.Warning
	}
	dec := json.NewDecoder(strings.NewReader(stdout))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&got))
	require.False(t, dec.More(), "one document")
	require.Equal(t, fmt.Sprintf("127.0.3.210:%d", port), got.From)
	require.Len(t, got.Nodes, 2)
	require.Equal(t, "wall", got.Nodes[0].Name)
	require.Equal(t, "node", got.Nodes[0].Style)
	require.Equal(t, []string{"0:0:1", "0:0:2", "1:0:0"}, got.Nodes[0].Ports)
	require.Equal(t, session.Line{Address: "0:0:1", Direction: "out", Protocol: "DMX512", Page: 1, Status: []string{"no data", "RDM off"}}, got.Nodes[0].Lines[0])
	var codes []string
	for _, w := range got.Warnings {
		codes = append(codes, w.Code+" "+w.Where)
		require.NotEmpty(t, w.Mend)
	}
	require.Equal(t, []string{
		"port-address-unclaimed 0:0:3, 0:0:4 and 0:0:5", "port-address-unused 127.0.3.211",
	}, codes)
	require.Contains(t, got.Warnings[0].Message, "no node takes port-address 0:0:3, 0:0:4 and 0:0:5 (", "the lamps are named")
	require.Contains(t, got.Warnings[0].Mend, `"wall" and "hut" put out 0:0:2`)
}

func TestNodesCommandFindsNobody(t *testing.T) {
	for _, form := range [][]string{nil, {"--json"}} {
		args := append([]string{"nodes", "--artnet-bind", "127.0.3.220", "--artnet-port", fmt.Sprint(outside.FreePort(t))}, form...)
		code, stdout, stderr := output(t, args...)
		require.Equal(t, exitFailed, code)
		require.Contains(t, stderr, "nobody answered on 127.255.255.255")
		require.Contains(t, stderr, "mend: check that the nodes have power")
		if form != nil {
			require.JSONEq(t, `{"from": "`+args[2]+":"+args[4]+`", "nodes": [], "warnings": []}`, stdout)
		}
	}
}

// A watch says what comes and goes. Loss is the standard's: no answer within 3 s
// of a poll.
func TestNodesCommandWatches(t *testing.T) {
	port := outside.FreePort(t)
	node := nodeOn(t, 231, port, "wall", 1)
	ctx, cancel := context.WithCancel(t.Context())
	var out, errs lockedBuffer
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"nodes", "--watch", "--artnet-bind", "127.0.3.230", "--artnet-port", fmt.Sprint(port)}, &out, &errs)
	}()
	said := func(text string) func() bool { return func() bool { return strings.Contains(out.String(), text) } }
	outside.Await(t, "found", said(`found "wall" at 127.0.3.231, a node, puts out 0:0:1`))
	node.Silence(true)
	outside.Await(t, "lost", said(`lost "wall" at 127.0.3.231`))
	node.Silence(false)
	outside.Await(t, "back", said(`back "wall" at 127.0.3.231`))
	cancel()
	require.Equal(t, exitDone, <-code)
	require.Empty(t, errs.String())
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n")[1:] {
		require.Regexp(t, `^\d\d:\d\d:\d\d (found|lost|back) `, line, "a line a change, and no other")
	}
}

// A daemon at the same address gives no node up while the command takes the
// answers.
func TestNodesCommandBesideADaemon(t *testing.T) {
	s := newStage(t, 240)
	outside.Await(t, "the daemon knows its node", func() bool { return len(s.state().Nodes) == 1 })
	for range 3 {
		code, stdout, stderr := output(t, "nodes", "--artnet-bind", s.bind)
		require.Equal(t, exitDone, code, stderr)
		require.Contains(t, stdout, "test node")
		require.Contains(t, stderr, "a program on this machine, perhaps the daemon, has the address "+s.bind)
		require.False(t, s.state().Nodes[0].Lost)
	}
	outside.Await(t, "the answers are the daemon's again", func() bool {
		var st session.State
		s.get("/api/state", &st)
		return len(st.Nodes) == 1 && st.Nodes[0].LastSeenMS < 1000 && len(st.Warnings) == 0
	})
}

func TestChangesBetweenLooks(t *testing.T) {
	line := func(words ...string) []session.Line {
		return []session.Line{{Address: "0:0:1", Direction: "out", Status: words}}
	}
	node := func(n server.NodeInfo) surveyJSON {
		n.Name, n.IP = "wall", "192.0.2.21"
		return surveyJSON{Nodes: []deviceJSON{{n, "node"}}}
	}
	warned := node(server.NodeInfo{})
	warned.Warnings = []session.Warning{{Code: "c", Message: "m", Mend: "d"}}
	quiet := node(server.NodeInfo{LastSeenMS: 3, Report: "#0001 [0001] x"})
	require.Empty(t, changesBetween(quiet, node(server.NodeInfo{LastSeenMS: 900, Report: "#0001 [0002] x"})))
	require.Equal(t, []string{`gone "wall" from 192.0.2.21`}, changesBetween(quiet, surveyJSON{}))
	require.Equal(t, []string{"warning: m; d [c]"}, changesBetween(node(server.NodeInfo{}), warned))
	require.Equal(t, []string{"mended: m [c]"}, changesBetween(warned, node(server.NodeInfo{})))
	got := changesBetween(node(server.NodeInfo{Lines: line("no data")}), node(server.NodeInfo{Lines: line("putting out data", "merging")}))
	require.Len(t, got, 1)
	require.Contains(t, got[0], "0:0:1 out: putting out data, merging")
}

func TestPortRanges(t *testing.T) {
	for want, addresses := range map[string][]string{
		"":                               nil,
		"0:0:1":                          {"0:0:1", "0:0:1"},
		"0:0:15 to 0:1:1, 1:0:0":         {"1:0:0", "0:1:0", "0:0:15", "0:1:1"},
		"0:0:1, 0:0:3, 127:15:15":        {"0:0:3", "0:0:1", "127:15:15"},
		"0:15:15 to 1:0:0":               {"0:15:15", "1:0:0"},
		"0:0:0 to 0:0:1, 0:0:4 to 0:0:5": {"0:0:0", "0:0:1", "0:0:4", "0:0:5"},
	} {
		var lines []session.Line
		for _, a := range addresses {
			lines = append(lines, session.Line{Address: a, Direction: "out"}, session.Line{Address: "9:9:9", Direction: "in"})
		}
		require.Equal(t, want, portRanges(lines, "out"))
	}
}
