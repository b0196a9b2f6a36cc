package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/listen"
	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// senders send levels to a host of loopback, Art-Net and sACN by unicast, until
// the test ends: port-address 1:2:3 and universe 7, the first slot going up.
func senders(t *testing.T, host string, artNetPort, sacnPort int) {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	name, err := sacn.NewName("their desk")
	require.NoError(t, err)
	dmx := artnet.Dmx{PortAddress: 0x123, Data: []byte{0, 9, 9, 9}}
	data := sacn.Data{CID: sacn.CID{1}, SourceName: name, Universe: 7, Priority: 150, Slots: []byte{0, 8, 8}}
	runFor(t, func(ctx context.Context) error {
		tick := time.NewTicker(25 * time.Millisecond)
		defer tick.Stop()
		defer c.Close()
		for {
			select {
			case <-ctx.Done():
				return nil
			case <-tick.C:
			}
			dmx.Data[0]++
			dmx.Sequence = artnet.NextSequence(dmx.Sequence)
			data.Slots[0]++
			data.Sequence++
			to := netip.MustParseAddr(host)
			if b, err := dmx.AppendBinary(nil); err == nil {
				_, _ = c.WriteToUDPAddrPort(b, netip.AddrPortFrom(to, uint16(artNetPort)))
			}
			if b, err := data.AppendBinary(nil); err == nil {
				_, _ = c.WriteToUDPAddrPort(b, netip.AddrPortFrom(to, uint16(sacnPort)))
			}
		}
	})
}

func TestListenCommand(t *testing.T) {
	artNetPort, sacnPort := outside.FreePort(t), outside.FreePort(t)
	senders(t, "127.0.0.1", artNetPort, sacnPort)
	flags := []string{"listen", "--artnet-port", fmt.Sprint(artNetPort), "--sacn-port", fmt.Sprint(sacnPort), "--universes", "7,9-10"}

	code, stdout, stderr := output(t, append(flags, "--json", "--seconds", "2")...)
	require.Equal(t, exitDone, code, stderr)
	var got arrivalsJSON
	dec := json.NewDecoder(strings.NewReader(stdout))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&got))
	require.False(t, dec.More(), "one document")
	require.Equal(t, []sacn.Universe{7, 9, 10}, got.Universes)
	require.Len(t, got.Streams, 2)
	a, s := got.Streams[0], got.Streams[1]
	require.Equal(t, []string{"Art-Net", "1:2:3", "127.0.0.1", "live"}, []string{a.Protocol, a.Universe, a.From, a.State})
	require.Nil(t, a.Priority)
	require.Equal(t, []byte{9, 9, 9}, a.Slots[1:])
	require.Equal(t, []string{"sACN", "7", "their desk", "live"}, []string{s.Protocol, s.Universe, s.Name, s.State})
	require.Equal(t, uint8(150), *s.Priority)
	require.Equal(t, []byte{8, 8}, s.Slots[1:])
	for _, stream := range got.Streams {
		require.True(t, stream.Counts)
		require.Zero(t, stream.Disorder)
		require.Greater(t, stream.Rate, 1.0)
	}

	code, stdout, stderr = output(t, append(flags, "--seconds", "1")...)
	require.Equal(t, exitDone, code, stderr)
	require.Regexp(t, `(?m)^UNIVERSE +BY +FROM +NAME +RATE +SLOTS +PRIORITY +OUT OF ORDER +SEEN +IS$`, stdout)
	require.Regexp(t, `(?m)^1:2:3 +Art-Net +127\.0\.0\.1 +- +\d+\.\d/s +4 +- +0 +.+ ago +live$`, stdout)
	require.Regexp(t, `(?m)^7 +sACN +127\.0\.0\.1 +their desk +\d+\.\d/s +3 +150 +0 +.+ ago +live$`, stdout)
	require.Regexp(t, `(?m)^1:2:3 from 127\.0\.0\.1: 1=\d+ 2-4=9$`, stdout)
}

func TestListenCommandHearsNothing(t *testing.T) {
	for _, form := range [][]string{nil, {"--json"}} {
		args := append([]string{"listen", "--artnet-bind", "127.0.3.221", "--artnet-port", fmt.Sprint(outside.FreePort(t)),
			"--sacn-port", fmt.Sprint(outside.FreePort(t)), "--seconds", "0.1"}, form...)
		code, stdout, stderr := output(t, args...)
		require.Equal(t, exitFailed, code)
		require.Contains(t, stderr, "no levels arrived here, nor anything else")
		require.Contains(t, stderr, "mend: check that the sender sends to an address of this machine")
		require.Equal(t, form != nil, strings.HasPrefix(stdout, "{"))
	}
}

// The bytes that the daemon sends are what the command says arrived.
func TestListenCommandHearsTheDaemon(t *testing.T) {
	port := outside.FreePort(t)
	d := startDaemon(t, "demo", "--light", "kept", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.150", "--artnet-to", "127.0.3.160:"+fmt.Sprint(port))
	d.do("cue", `{"look": "tide", "fade": "0 s"}`)
	outside.Await(t, "the look is on", func() bool { s := d.state(); return s.Fade == nil && s.Look == "tide" })
	code, stdout, stderr := output(t, "listen", "--artnet-bind", "127.0.3.160", "--artnet-port", fmt.Sprint(port),
		"--sacn-port", fmt.Sprint(outside.FreePort(t)), "--seconds", "2", "--json")
	require.Equal(t, exitDone, code, stderr)
	var got arrivalsJSON
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	frames := d.frames()
	require.Len(t, got.Streams, len(frames))
	for _, s := range got.Streams {
		sent := frames[s.Universe]
		require.Equal(t, sent, s.Slots[:len(sent)], s.Universe)
		require.Equal(t, "127.0.3.150", s.From)
	}
}

// Without --seconds it goes on, and says what is new in a line each.
func TestListenCommandGoesOn(t *testing.T) {
	artNetPort, sacnPort := outside.FreePort(t), outside.FreePort(t)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var out, errs lockedBuffer
	var running sync.WaitGroup
	code := -1
	running.Go(func() {
		code = run(ctx, []string{"listen", "--artnet-port", fmt.Sprint(artNetPort), "--sacn-port", fmt.Sprint(sacnPort)}, &out, &errs)
	})
	senders(t, "127.0.0.1", artNetPort, sacnPort)
	outside.Await(t, "both are told", func() bool {
		return strings.Contains(out.String(), "1:2:3 Art-Net from 127.0.0.1") && strings.Contains(out.String(), `7 sACN from 127.0.0.1 "their desk", priority 150`)
	})
	cancel()
	running.Wait()
	require.Equal(t, exitDone, code, errs.String())
	require.Contains(t, out.String(), "for sACN on universe 1-16; Ctrl-C ends")
}

func TestParseUniverses(t *testing.T) {
	got, err := parseUniverses("7, 1-3,63999,2")
	require.NoError(t, err)
	require.Equal(t, []sacn.Universe{1, 2, 3, 7, 63999}, got)
	require.Equal(t, "universe 1-3, 7, 63999", universeList(got))
	for _, bad := range []string{"", "0", "64000", "65536", "1-", "-1", "3-1", "x", "1,,2", "0-3"} {
		_, err := parseUniverses(bad)
		require.ErrorContains(t, err, "is no universe of sACN", "%q", bad)
	}
	_, err = parseUniverses("1-513")
	require.ErrorContains(t, err, "more than 512")
	_, err = parseUniverses("1-63999,1-63999")
	require.ErrorContains(t, err, "more than 512")
}

func FuzzParseUniverses(f *testing.F) {
	f.Add("1-4,291")
	f.Add("63999,1-1")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := parseUniverses(text)
		if err != nil {
			return
		}
		require.NotEmpty(t, got)
		again, err := parseUniverses(strings.TrimPrefix(universeList(got), "universe "))
		require.NoError(t, err)
		require.Equal(t, got, again)
	})
}

func TestChangedSlots(t *testing.T) {
	for want, changed := range map[string][]listen.Range{
		"":                 nil,
		"5=255":            {{First: 5, Values: []byte{255}}},
		"1-512=0":          {{First: 1, Values: make([]byte, 512)}},
		"1=1 2-3=2 9-10=2": {{First: 1, Values: []byte{1, 2, 2}}, {First: 9, Values: []byte{2, 2}}},
		"1=0 2=1 3=2 4=3 5=4 6=5 7=6 8=7 9=8 10=9 11=10 12=11 and 1 more slot": {{First: 1, Values: []byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}}},
	} {
		require.Equal(t, want, changedSlots(changed))
	}
}

func TestNewsOfStreams(t *testing.T) {
	base := listen.Stream{Protocol: listen.SACN, Universe: 7, Addr: netip.MustParseAddr("192.0.2.1"), Priority: 100, Counts: true, Packets: 5, Rate: 44}
	with := func(change func(*listen.Stream)) []listen.Stream {
		s := base
		change(&s)
		return []listen.Stream{s}
	}
	was := []listen.Stream{base}
	require.Equal(t, []string{"7 sACN from 192.0.2.1, priority 100, 44.0/s, live"}, newsOf(nil, was), "new")
	require.Empty(t, newsOf(was, was), "nothing")
	for want, now := range map[string][]listen.Stream{
		"live: 3=9":                              with(func(s *listen.Stream) { s.Changed = []listen.Range{{First: 3, Values: []byte{9}}} }),
		"stopped":                                with(func(s *listen.Stream) { s.State, s.Counts = listen.Stopped, false }),
		"ended":                                  with(func(s *listen.Stream) { s.State, s.Counts = listen.Ended, false }),
		"live, preview, not for lamps":           with(func(s *listen.Stream) { s.Preview, s.Counts = true, false }),
		"live, overruled by a higher priority":   with(func(s *listen.Stream) { s.Counts = false }),
		"live, sync on 9, which does not come":   with(func(s *listen.Stream) { s.Sync = 9 }),
		"live, 2 with another START code":        with(func(s *listen.Stream) { s.Others = 2 }),
		"live, 3 out of order":                   with(func(s *listen.Stream) { s.Disorder = 3 }),
		"priority 200, 44.0/s, live":             with(func(s *listen.Stream) { s.Priority = 200 }),
		`from 192.0.2.1 "hut", priority 100, 44`: with(func(s *listen.Stream) { s.Name = "hut" }),
	} {
		got := newsOf(was, now)
		require.Len(t, got, 1, want)
		require.Contains(t, got[0], want)
	}
}
