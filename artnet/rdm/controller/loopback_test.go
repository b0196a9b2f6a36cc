package controller_test

import (
	"bufio"
	"context"
	"fmt"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/controller"
	"linkboy/artnet/rdm/responder"
)

type runner interface{ Run(context.Context) error }

func background(t *testing.T, r runner) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- r.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
	})
}

// rig is a link, a controller on it, and a software node with two lines.
type rig struct {
	link  *link.Link
	c     *controller.Controller
	node  *fakenode.Node
	port  int
	lamps []*responder.Responder
}

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{port: outside.FreePort(t)}
	lines := map[artnet.PortAddress]*responder.Line{1: responder.NewLine(), 0x123: responder.NewLine()}
	for k := range uint32(5) {
		lamp := device(t, k+1, nil)
		r.lamps = append(r.lamps, lamp)
		if k < 3 {
			lines[1].Plug(lamp)
		} else {
			lines[0x123].Plug(lamp)
		}
	}
	var err error
	r.node, err = fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(netip.MustParseAddr("127.0.1.62"), uint16(r.port)), Ports: []artnet.PortAddress{1, 2, 0x123}, Lines: lines,
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	background(t, r.node)
	cfg := link.Config{Bind: netip.MustParseAddr("127.0.1.61"), Port: r.port, AnswerDelay: func() time.Duration { return 0 }}
	if !r.node.Discoverable() {
		cfg.Bind, cfg.To = netip.MustParseAddr("127.0.0.1"), []netip.AddrPort{r.node.Addr()}
	}
	send := func(to netip.AddrPort, p artnet.Packet) error { return r.link.SendRDM(to, p) }
	r.c, err = controller.New(controller.Config{Send: send, UID: own, Timeout: 2 * time.Second})
	require.NoError(t, err)
	cfg.RDM = r.c.Receive
	r.link, err = link.Open(cfg)
	require.NoError(t, err)
	background(t, r.c)
	background(t, r.link)
	outside.Await(t, "the node shows its ports", func() bool { n := r.link.Nodes(); return len(n) == 1 && len(n[0].Ports) == 3 })
	return r
}

func (r *rig) gateways() (all []controller.Gateway) {
	for _, n := range r.link.Nodes() {
		for _, a := range n.Ports {
			all = append(all, controller.Gateway{Node: n.Addr, PortAddress: a})
		}
	}
	return all
}

// The whole way over real sockets: tables, devices, settings, a device that
// comes, one that goes, a search anew.
func TestThroughANodeOnLoopback(t *testing.T) {
	r := newRig(t)
	silent, err := r.c.Discover(t.Context(), r.gateways())
	require.NoError(t, err)
	require.Equal(t, []controller.Gateway{{Node: r.node.Addr(), PortAddress: 2}}, silent, "a port without RDM")
	got := r.c.Devices()
	require.Len(t, got, 5)
	require.Equal(t, artnet.PortAddress(0x123), got[4].PortAddress)
	for _, d := range got {
		require.True(t, d.Asked, d.Trouble)
		require.Equal(t, "Tube", d.Model)
	}
	require.NoError(t, r.c.Apply(t.Context(), uid(4), controller.Settings{Personality: 2, Address: 33, Label: "K1"}))
	require.Equal(t, responder.State{Label: "K1", Personality: 2, Start: 33, Muted: true}, r.lamps[3].State())
	require.NoError(t, r.c.Identify(t.Context(), uid(5), true))
	require.True(t, r.lamps[4].State().Identify)
	require.NoError(t, r.c.Identify(t.Context(), uid(5), false))

	r.lamps[0].SetFault(responder.Fault{Deaf: true})
	require.NoError(t, r.c.Flush(r.gateways()))
	outside.Await(t, "the new table is told unasked", func() bool { d, _ := r.c.Device(uid(1)); return d.Lost })
	r.lamps[0].SetFault(responder.Fault{})
	require.NoError(t, r.c.Flush(r.gateways()))
	silent, err = r.c.Tables(t.Context(), r.gateways())
	require.NoError(t, err)
	require.Len(t, silent, 1)
	d, _ := r.c.Device(uid(1))
	require.False(t, d.Lost)
	require.Zero(t, r.node.Stats().RDMLost)
	require.Zero(t, r.node.Stats().Garbage)
}

// Frames go out as before while a device that never answers is asked.
func TestFramesAreNotHeldUp(t *testing.T) {
	r := newRig(t)
	_, err := r.c.Discover(t.Context(), r.gateways())
	require.NoError(t, err)
	for _, lamp := range r.lamps {
		lamp.SetFault(responder.Fault{Silent: true})
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		_, _ = r.c.Discover(ctx, r.gateways())
	}()
	held := r.link.Stats().Held
	slots := make([]byte, 512)
	for i := range 50 {
		slots[0] = byte(i + 1)
		began := time.Now()
		require.NoError(t, r.link.SendFrame([]uint16{1, 0x123}, [][]byte{slots, slots}, false))
		require.Less(t, time.Since(began), time.Second, "not for a time-out")
		time.Sleep(time.Until(began.Add(23 * time.Millisecond)))
	}
	cancel()
	<-done
	outside.Await(t, "the last frame arrives", func() bool { s, _, _, _ := r.node.Frame(1); return len(s) > 0 && s[0] == 50 })
	require.LessOrEqual(t, r.link.Stats().Held-held, uint64(4))
	require.GreaterOrEqual(t, r.node.Stats().Frames, uint64(96))
}

// A capture of a whole exchange, decoded by the Art-Net and RDM dissectors of
// Wireshark (tshark 4.0.17): nothing malformed, every checksum right, and both
// ends say the same.
func TestDissectorReadsTheExchange(t *testing.T) {
	tshark := outside.Tool(t, "tshark")
	r := newRig(t)
	file := filepath.Join(t.TempDir(), "capture.pcap")
	stop := capture(t, tshark, fmt.Sprintf("udp port %d", r.port), file)
	_, err := r.c.Discover(t.Context(), r.gateways())
	require.NoError(t, err)
	require.NoError(t, r.c.MeasureAll(t.Context(), r.gateways()))
	require.NoError(t, r.c.Apply(t.Context(), uid(1), controller.Settings{Personality: 2, Address: 321, Label: "lane-1"}))
	require.ErrorContains(t, r.c.SetAddress(t.Context(), uid(1), 512), "data out of range")
	require.NoError(t, r.c.Identify(t.Context(), uid(1), true))
	r.lamps[1].SetFault(responder.Fault{Timer: 100 * time.Millisecond, Answers: 1})
	require.NoError(t, r.c.SetLabel(t.Context(), uid(2), "lane-2"))
	r.lamps[1].SetFault(responder.Fault{Most: 6})
	_, err = r.c.Get(t.Context(), uid(2), rdm.PIDSupportedParameters, nil)
	require.NoError(t, err)
	require.NoError(t, r.c.Flush(r.gateways()))
	_, err = r.c.Tables(t.Context(), r.gateways())
	require.NoError(t, err)
	stop()

	fields := []string{"artnet.header.opcode", "_ws.malformed", "rdm.checksum.status", "rdm.cc", "rdm.pid", "rdm.rt", "rdm.pd.dmx_start_address", "rdm.pd.device_label", "rdm.src"}
	args := []string{"-n", "-r", file, "-d", fmt.Sprintf("udp.port==%d,artnet", r.port), "-T", "fields", "-E", "separator=/t"}
	for _, f := range fields {
		args = append(args, "-e", f)
	}
	out, err := exec.Command(tshark, args...).Output()
	require.NoError(t, err)
	seen := make(map[string]int)
	addresses, labels := make(map[string]bool), make(map[string]bool)
	for line := range strings.Lines(string(out)) {
		v := strings.Split(strings.TrimRight(line, "\n"), "\t")
		require.Len(t, v, len(fields), line)
		require.Empty(t, v[1], "malformed: %s", line)
		seen[v[0]]++
		if v[0] != "0x8300" {
			continue
		}
		require.Equal(t, "1", v[2], "a good checksum: %s", line)
		seen[v[3]]++
		seen["response type "+v[5]]++
		addresses[v[6]], labels[v[7]] = true, true
	}
	for _, kind := range []string{
		"0x8000", "0x8100", "0x8200", "0x8300", "0x20", "0x21", "0x30", "0x31",
		"response type 0x00", "response type 0x01", "response type 0x02", "response type 0x03",
	} {
		require.NotZero(t, seen[kind], "%s in %v", kind, seen)
	}
	require.True(t, addresses["321"] && labels["lane-1"] && labels["lane-2"], "%v %v", addresses, labels)
	require.Equal(t, seen["0x20"]+seen["0x30"], seen["0x21"]+seen["0x31"], "every request has its answer; QUEUED_MESSAGE has that of a SET")
	require.Equal(t, uint64(seen["0x20"]+seen["0x30"]), r.c.Stats().Requests)
}

// capture writes what passes on loopback to a file until stop is called; it runs
// before capture returns.
func capture(t *testing.T, tshark, filter, file string) (stop func()) {
	t.Helper()
	cmd := exec.Command(tshark, "-n", "-q", "-i", "lo", "-f", filter, "-w", file)
	stderr, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	running := make(chan bool, 1)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		scan := bufio.NewScanner(stderr)
		for scan.Scan() {
			if strings.Contains(scan.Text(), "Capturing on") {
				running <- true
			}
		}
	}()
	var stopped bool
	stop = func() {
		if stopped {
			return
		}
		stopped = true
		_ = cmd.Process.Signal(os.Interrupt)
		<-ended
		_ = cmd.Wait()
	}
	t.Cleanup(stop)
	select {
	case <-running:
	case <-time.After(outside.Patience):
		require.FailNow(t, "tshark does not capture")
	}
	return stop
}
