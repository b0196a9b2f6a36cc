package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/responder"
	"linkboy/cues/showfile"
	"linkboy/server"
)

// command runs a command line to its end.
func command(t *testing.T, stdin string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	if stdin != "" { // what a person types
		file := filepath.Join(t.TempDir(), "stdin")
		require.NoError(t, os.WriteFile(file, []byte(stdin), 0o600))
		in, err := os.Open(file)
		require.NoError(t, err)
		defer in.Close()
		was := os.Stdin
		os.Stdin = in
		defer func() { os.Stdin = was }()
	}
	var out, diagnostics bytes.Buffer
	code = run(context.Background(), args, &out, &diagnostics)
	return code, out.String(), diagnostics.String()
}

// The software rig of the demo is addressed as a real one: two lamps come out of
// their boxes, are listed, set after a yes, and right from then on.
func TestAddressTheSoftwareRig(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	startDaemon(t, "demo", "--show", dir, "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.4.1")
	address := func(stdin string, more ...string) (int, string) {
		code, out, stderr := command(t, stdin, append([]string{"address", dir, "deep-end", "--artnet-bind", "127.0.4.5"}, more...)...)
		require.Empty(t, stderr)
		return code, out
	}
	code, out := address("no\n")
	require.Equal(t, exitFailed, code, "it differs, and nobody agreed")
	require.Contains(t, out, "deep-end: 30 lamps in the rig, 30 devices found\n")
	require.Regexp(t, `moon +S1 +7FF1:0000001D +wrong address +it starts at slot 1, set 441\n +wrong label +its label is "", set "S1"\n`, out)
	require.Contains(t, out, "28 right, 2 not\nset 2 devices? [y/N] ")
	require.NotContains(t, out, "took")

	code, out = address("", "--json")
	require.Equal(t, exitFailed, code, "--json alone sets nothing")
	var answer addressAnswer
	require.NoError(t, json.Unmarshal([]byte(out), &answer))
	require.Equal(t, 30, answer.Devices)
	require.Zero(t, answer.Set)
	last := answer.Rows[len(answer.Rows)-2]
	require.Equal(t, "moon", last.Place)
	require.Equal(t, &server.RigChange{Address: 441, Label: "S1"}, last.Change)

	code, out = address("y\n")
	require.Equal(t, exitDone, code)
	require.Contains(t, out, "2 of 2 devices took what was set, read back\nevery lamp is as the plan has it\n")
	code, out = address("", "--yes", "--json", "--search")
	require.Equal(t, exitDone, code)
	require.NoError(t, json.Unmarshal([]byte(out), &answer))
	require.Zero(t, answer.Set)

	// At another place every lamp keeps its address, as Tidewater is planned.
	code, out, _ = command(t, "", "address", dir, "pump-room", "--artnet-bind", "127.0.4.5", "--json")
	require.Equal(t, exitDone, code)
	require.Contains(t, out, `"place": "grate-6"`)

	// A device named by hand.
	code, out = address("", "--json", "--pair", "S1=7FF1:0000001C")
	require.Equal(t, exitFailed, code)
	require.Contains(t, out, `"by": "by hand"`)

	for want, args := range map[string][]string{
		"several locations":                  {"address", dir},
		"no location \"deep\"":               {"address", dir, "deep"},
		"is not LAMP=UID":                    {"address", dir, "deep-end", "--pair", "S1=7"},
		"no lamp of the kit \"S9\"":          {"address", dir, "deep-end", "--pair", "S9=7FF1:0000001C"},
		"takes SHOW [LOCATION]":              {"address"},
		"--artnet-port 70000 is no UDP port": {"address", dir, "deep-end", "--artnet-port", "70000"},
		"--for -1s is no time":               {"identify", "--for", "-1s"},
		"no device \"7FF1:00000099\"":        {"identify", "7FF1:00000099", "--artnet-bind", "127.0.4.5"},
	} {
		code, _, stderr := command(t, "", args...)
		require.Equal(t, exitWrongUse, code, "%v", args)
		require.Contains(t, stderr, want)
	}
	// The daemon's own address: it would lose its nodes' answers.
	code, _, stderr := command(t, "", "identify", "--artnet-bind", "127.0.4.1")
	require.Equal(t, exitFailed, code)
	require.Contains(t, stderr, "another program of this machine has the Art-Net address 127.0.4.1:6454")
}

func TestIdentifyTheSoftwareRig(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	startDaemon(t, "demo", "--show", dir, "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.4.11")
	identify := func(args ...string) (answer identifyAnswer) {
		code, out, stderr := command(t, "", append([]string{"identify", "--json", "--artnet-bind", "127.0.4.15"}, args...)...)
		require.Equal(t, exitDone, code, stderr)
		require.NoError(t, json.Unmarshal([]byte(out), &answer))
		return answer
	}
	require.Len(t, identify().Devices, 30)
	require.Equal(t, []identified{{"7FF1:00000003", "T3", "tube-rgbww-4ft", "127.0.4.12", "0:0:1.327", true}}, identify("t3", "--for", "0s").Devices)
	require.Equal(t, []identified{{"7FF1:00000004", "T4", "tube-rgbww-4ft", "127.0.4.12", "0:0:2.001", true}}, identify("7ff1:00000004", "--for", "1ms").Devices)
	off := identify("--off").Devices
	require.Len(t, off, 1, "T4 was switched off after its time, T3 is now")
	require.Equal(t, "7FF1:00000003", off[0].UID)
	require.False(t, off[0].Identify)
	require.Empty(t, identify("--off").Devices)
}

// A page asks the daemon, and only then the daemon asks the lamps.
func TestDevicesOfTheDaemon(t *testing.T) {
	d := startDaemon(t, "demo", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.4.31")
	outside.Await(t, "the software rig answers", func() bool { s := d.state(); return len(s.Nodes) > 0 && len(s.Nodes[0].Ports) == 5 })
	var got struct{ Devices []server.DeviceInfo }
	d.get("/api/devices", &got)
	require.Empty(t, got.Devices)
	d.do("devices", "")
	d.get("/api/devices", &got)
	require.Len(t, got.Devices, 30)
	first := got.Devices[0]
	require.Equal(t, "T1", first.Label)
	require.Equal(t, "31.5 °C", first.Sensors[0].Text)
	require.Equal(t, uint32(47), *first.Hours)
	for _, nobody := range []string{"7FF1:00000099", "T1"} {
		status, text := d.post("identify", `{"uid": "`+nobody+`"}`)
		require.Equal(t, 404, status, text)
	}
	for _, on := range []string{"true", "false"} {
		d.do("identify", `{"uid": "7FF1:00000001", "on": `+on+`}`)
		d.get("/api/devices", &got)
		require.Equal(t, on == "true", got.Devices[0].Identify)
	}
}

// Nobody there: told, with what to check.
func TestAddressWithoutNodes(t *testing.T) {
	code, _, stderr := command(t, "", "identify", "--artnet-bind", "127.0.4.25", "--artnet-port", "16454")
	require.Equal(t, exitFailed, code)
	require.Contains(t, stderr, "no node has answered on the network of 127.0.4.25")
	require.Contains(t, stderr, "mend: check that nodes have power")
}

// The demo's devices say what the plan has: one for every lamp, on the line of
// its place, with a personality for each of its modes.
func TestLinesOfTheDemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors())
	for _, loc := range show.Locations {
		lines, err := linesOf(show, loc.Name)
		require.NoError(t, err)
		seen := make(map[rdm.UID]bool)
		labels := 0
		byLabel := make(map[string]responder.State)
		for _, line := range lines {
			for _, d := range line.Devices() {
				require.False(t, seen[d.UID()])
				seen[d.UID()] = true
				if s := d.State(); s.Label != "" {
					labels++
					byLabel[s.Label] = s
				}
			}
		}
		require.Len(t, seen, len(show.Kit))
		require.Equal(t, len(show.Kit)-fresh, labels)
		for _, l := range loc.Rig {
			if s, ok := byLabel[l.Lamp.ID]; ok {
				require.Equal(t, l.Address.Slot, int(s.Start), "%s at %s", l.ID, loc.Name)
			}
		}
	}
	require.True(t, strings.HasPrefix(rdm.NewUID(softwareMaker, 1).String(), "7FF1:"))
}
