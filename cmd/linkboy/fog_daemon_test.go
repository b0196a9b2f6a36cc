package main

import (
	"net/netip"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
	"linkboy/cues/showfile"
)

// A node holds what it last got: so the last frames of a daemon stop the fog, and leave
// the light as it is.
func TestDaemonStopsFogAsItEnds(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems.Error())
	bind := netip.AddrFrom4([4]byte{127, 0, 3, 201})
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(bind.Next(), artnet.Port), Ports: portsOf(show), Name: "test node",
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	runFor(t, node.Run)
	const output = 447 - 1 // of the fog machine, at 0:0:5.447
	fog := func() byte {
		if slots, _, _, _ := node.Frame(5); len(slots) > output {
			return slots[output]
		}
		return 0
	}
	var lit []byte
	t.Run("a daemon with haze on", func(t *testing.T) {
		d := startDaemon(t, "serve", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", bind.String())
		d.do("cue", `{"look": "warden", "fade": "0 s"}`)
		outside.Await(t, "haze", func() bool { return fog() == 31 }) // 12 % of 8 bits
		lit, _, _, _ = node.Frame(1)
	})
	outside.Await(t, "the fog to stop", func() bool { return fog() == 0 })
	slots, _, _, _ := node.Frame(1)
	require.Equal(t, lit, slots)
}
