//go:build unix

package listen_test

import (
	"context"
	"fmt"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/listen"
	"linkboy/artnet/outside"
	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// listener listens until the test ends.
func listener(t *testing.T, cfg listen.Config) *listen.Listener {
	t.Helper()
	l, err := listen.Open(cfg)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- l.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		require.NoError(t, l.Close())
	})
	return l
}

// Senders that are not ours: npm dmxnet 0.9.0 and artnet 1.4.0 over Art-Net, and
// sacn 4.6.2 over E1.31 by unicast and by multicast on loopback.
func TestForeignSenders(t *testing.T) {
	node, modules := outside.NodeModules(t, "dmxnet", "artnet", "sacn")
	artNet, unicastPort, multicastPort := outside.FreePort(t), outside.FreePort(t), outside.FreePort(t)
	l := listener(t, listen.Config{Port: artNet, SACNPort: unicastPort})
	m := listener(t, listen.Config{Port: outside.FreePort(t), SACNPort: multicastPort, Universes: []sacn.Universe{9}})
	cmd := exec.Command(node, "--no-deprecation", filepath.Join("testdata", "senders.js"))
	cmd.Env = append(os.Environ(), "NODE_PATH="+modules, fmt.Sprintf("ARTNET_PORT=%d", artNet), fmt.Sprintf("UNICAST_PORT=%d", unicastPort), fmt.Sprintf("MULTICAST_PORT=%d", multicastPort), fmt.Sprintf("OTHER_PORT=%d", outside.FreePort(t)))
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		stdin.Close()
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})

	var dmxnet, small, unicast, multicast listen.Stream
	moved := map[uint16]bool{}
	outside.Await(t, "what the foreign senders change is seen", func() bool {
		for _, s := range append(l.Look(time.Now()), m.Look(time.Now())...) {
			if s.Packets > 20 && len(s.Changed) > 0 {
				moved[s.Universe] = true
			}
			switch {
			case s.Protocol == listen.ArtNet && s.Universe == 0x123:
				dmxnet = s
			case s.Protocol == listen.ArtNet && s.Universe == 4:
				small = s
			case s.Protocol == listen.SACN && s.Universe == 7:
				unicast = s
			case s.Protocol == listen.SACN && s.Universe == 9:
				multicast = s
			}
		}
		return len(moved) == 4
	})
	for _, s := range []listen.Stream{dmxnet, small, unicast, multicast} {
		require.Equal(t, listen.Live, s.State)
		require.True(t, s.Counts)
		require.Zero(t, s.Disorder, "%v %d", s.Protocol, s.Universe)
		require.Equal(t, "127.0.0.1", s.Addr.String())
		require.Greater(t, s.Rate, 1.0)
	}
	require.Len(t, dmxnet.Slots, 512)
	require.Equal(t, byte(77), dmxnet.Slots[511])
	require.Equal(t, []byte{128, 64, 0}, small.Slots[1:4], "three slots, made even by a fourth")
	require.Equal(t, byte(3), unicast.Slots[511])
	require.Equal(t, "by unicast", unicast.Name)
	require.Equal(t, "by multicast", multicast.Name)
	require.Equal(t, uint8(120), unicast.Priority)
	require.Zero(t, l.Counts().Bad)
}

// Groups beyond what one socket may join are joined all the same, and what is
// sent to one group comes once.
func TestManyGroups(t *testing.T) {
	acn := outside.FreePort(t)
	var universes []sacn.Universe
	for u := range sacn.Universe(100) {
		universes = append(universes, u+1)
	}
	l := listener(t, listen.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), SACNPort: acn, Universes: universes})
	require.Empty(t, l.Refused())
	sender := multicastSender(t)
	send := func(u sacn.Universe, sequence uint8) {
		b, err := (&sacn.Data{CID: cid, Universe: u, Priority: 100, Sequence: sequence, Slots: []byte{byte(u)}}).AppendBinary(nil)
		require.NoError(t, err)
		_, err = sender.WriteToUDPAddrPort(b, netip.AddrPortFrom(u.Group(), uint16(acn)))
		require.NoError(t, err)
	}
	for _, u := range []sacn.Universe{1, 50, 100, 101} {
		send(u, 1)
		send(u, 2)
	}
	var got []listen.Stream
	outside.Await(t, "three universes are heard twice", func() bool {
		got = l.Look(time.Now())
		return len(got) >= 3 && slices.IndexFunc(got, func(s listen.Stream) bool { return s.Packets < 2 }) < 0
	})
	require.Len(t, got, 3, "universe 101 was not asked for")
	for _, s := range got {
		require.Equal(t, uint64(2), s.Packets)
		require.Zero(t, s.Disorder, "no packet came twice")
	}
}

// A listener on every address hears broadcasts, and takes nothing from a program
// that has an address of its own.
func TestListeningTakesNothingAway(t *testing.T) {
	port := outside.FreePort(t)
	all, err := peer.Interfaces()
	require.NoError(t, err)
	at, err := peer.Find(all, netip.MustParseAddr("127.0.1.60"))
	require.NoError(t, err)
	own, err := peer.Open(at, uint16(port))
	require.NoError(t, err)
	got := make(chan string, 8)
	done := make(chan error, 1)
	go func() { done <- own.Read(func(_ netip.AddrPort, b []byte) { got <- string(b) }) }()
	t.Cleanup(func() {
		require.NoError(t, own.Close())
		require.NoError(t, <-done)
	})
	l := listener(t, listen.Config{Port: port, SACNPort: outside.FreePort(t)})
	require.False(t, l.Shared())
	second, err := listen.Open(listen.Config{Port: port, SACNPort: outside.FreePort(t)})
	require.NoError(t, err)
	require.True(t, second.Shared(), "two on every address: unicast reaches one")
	require.NoError(t, second.Close())

	dmx, err := (&artnet.Dmx{PortAddress: 1, Data: []byte{1, 2}}).AppendBinary(nil)
	require.NoError(t, err)
	require.NoError(t, own.WriteToAddrPort(dmx, own.Local()))
	select {
	case b := <-got:
		require.Equal(t, string(dmx), b)
	case <-time.After(outside.Patience):
		t.Fatal("the datagram for the program's own address went elsewhere")
	}
	if !own.HearsBroadcasts() {
		return
	}
	require.NoError(t, own.WriteToAddrPort(dmx, own.Broadcast()))
	outside.Await(t, "a broadcast reaches both", func() bool { return l.Counts().ArtDmx == 1 })
	require.Equal(t, string(dmx), <-got)
}

func TestOpenSaysWhichAddressesThereAre(t *testing.T) {
	_, err := listen.Open(listen.Config{Interface: "198.51.100.77"})
	require.ErrorContains(t, err, "no network interface has this address; use one of")
	_, err = listen.Open(listen.Config{Interface: "no-such-interface"})
	require.ErrorContains(t, err, "no network interface has this address or name, with IPv4; use one of")
}
