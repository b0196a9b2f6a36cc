package osc_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/server/osc"
)

// TestDissector: an independent decoder (tshark) reads the same out of our bytes. Its field
// of a blob's data has what fills it up as well.
func TestDissector(t *testing.T) {
	toPcap, tshark := outside.Tool(t, "text2pcap"), outside.Tool(t, "tshark")
	packets := []osc.Packet{
		&osc.Message{Address: "/linkboy/refused", Args: []any{int32(-5), float32(0.5), "nothing is held", []byte{1, 2, 3, 4, 5}, int64(1) << 40, 3.25, osc.Symbol("sym"), true, false, osc.Nil{}, osc.Impulse{}}},
		&osc.Bundle{Time: osc.TimeTag(3_155_587_200 << 32), Elements: []osc.Packet{&osc.Message{Address: "/linkboy/hold"}, &osc.Message{Address: "/linkboy/cue", Args: []any{int32(3)}}}},
	}
	var dump strings.Builder
	for _, p := range packets {
		b, err := p.Append(nil)
		require.NoError(t, err)
		for at, c := range b {
			if at%16 == 0 {
				fmt.Fprintf(&dump, "\n%06x", at)
			}
			fmt.Fprintf(&dump, " %02x", c)
		}
		fmt.Fprintf(&dump, "\n%06x\n", len(b))
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.txt"), filepath.Join(dir, "out.pcap")
	require.NoError(t, os.WriteFile(in, []byte(dump.String()), 0o600))
	message, err := exec.Command(toPcap, "-q", "-4", "192.0.2.10,192.0.2.23", "-u", "9000,9000", in, out).CombinedOutput()
	require.NoError(t, err, "%s", message)
	args := []string{"-n", "-r", out, "--enable-heuristic", "osc_udp", "-T", "fields", "-E", "separator=|", "-E", "aggregator=;"}
	for _, f := range []string{"osc.message.header.path", "osc.message.header.format", "osc.message.int32", "osc.message.float", "osc.message.string",
		"osc.message.blob.size", "osc.message.blob.data", "osc.message.int64", "osc.message.double", "osc.message.symbol", "_ws.malformed"} {
		args = append(args, "-e", f)
	}
	cmd := exec.Command(tshark, args...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	got, err := cmd.Output()
	require.NoError(t, err, "%s", stderr.Bytes())
	require.Equal(t, []string{
		"/linkboy/refused|,ifsbhdSTFNI|-5|0.5|nothing is held|5|0102030405000000|1099511627776|3.25|sym|",
		"/linkboy/hold;/linkboy/cue|,;,i|3||||||||",
	}, strings.Split(strings.TrimSpace(string(got)), "\n"))
}
