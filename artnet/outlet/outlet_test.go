package outlet_test

import (
	"context"
	"net"
	"net/netip"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outlet"
	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
	"linkboy/cues/play"
	"linkboy/cues/play/playtest"
)

// receiver keeps the E1.31 data that come to a socket on loopback.
type receiver struct {
	at netip.AddrPort

	mu  sync.Mutex
	got []sacn.Data
}

func listen(t testing.TB) *receiver {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	r := &receiver{at: conn.LocalAddr().(*net.UDPAddr).AddrPort()}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for {
			b := make([]byte, 2048)
			n, err := conn.Read(b)
			if err != nil {
				return
			}
			var d sacn.Data
			if d.Parse(b[:n]) == nil {
				r.mu.Lock()
				r.got = append(r.got, d)
				r.mu.Unlock()
			}
		}
	}()
	t.Cleanup(func() { conn.Close(); <-done })
	return r
}

// has reports whether some packet so far is as asked.
func (r *receiver) has(ok func(d *sacn.Data) bool) bool {
	return r.count(ok) > 0
}

func (r *receiver) count(ok func(d *sacn.Data) bool) (n int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i := range r.got {
		if ok(&r.got[i]) {
			n++
		}
	}
	return n
}

func (r *receiver) forget() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.got = nil
}

func (r *receiver) output(ports ...artnet.PortAddress) outlet.Output {
	return outlet.Output{Over: outlet.SACN, Ports: ports, To: []netip.AddrPort{r.at}, Priority: sacn.DefaultPriority}
}

func run(t testing.TB, o *outlet.Outlet) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- o.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
	})
}

// play sends frames at 44 Hz until ok.
func playUntil(t *testing.T, o *outlet.Outlet, what string, addresses []uint16, slots [][]byte, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(outside.Patience); !ok(); time.Sleep(time.Second / 44) {
		require.True(t, time.Now().Before(end), what)
		_ = o.SendFrame(addresses, slots, false)
	}
}

func node(t *testing.T, addr string, port int, ports ...artnet.PortAddress) *fakenode.Node {
	t.Helper()
	n, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(netip.MustParseAddr(addr), uint16(port)), Ports: ports, AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- n.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
	})
	return n
}

// shows reports whether a node puts slots out on a port-address.
func shows(n *fakenode.Node, port artnet.PortAddress, slots []byte) func() bool {
	return func() bool {
		got, _, _, ok := n.Frame(port)
		return ok && slices.Equal(got, slots)
	}
}

func TestContract(t *testing.T) {
	playtest.Check(t, func() play.Output {
		r := listen(t)
		o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), Show: t.Name()})
		o.Use([]outlet.Output{{}, r.output()}, ports(0, 1, 2, 3, 4, 5, 6, 7))
		require.NoError(t, o.Open())
		t.Cleanup(o.Close)
		return o
	})
}

func ports(all ...artnet.PortAddress) []artnet.PortAddress { return all }

// Both protocols at once, each with its universes; one Art-Net port an
// interface, with a named node and one that is found.
func TestEachUniverseItsWay(t *testing.T) {
	port := outside.FreePort(t)
	found, named := node(t, "127.0.5.2", port, 1, 2, 3), node(t, "127.0.5.3", port, 9)
	if !found.Discoverable() {
		t.Skip("this system has no broadcasts on loopback")
	}
	low, high := listen(t), listen(t)
	o := outlet.New(outlet.Config{Interface: "127.0.5.1", Port: port, Show: t.Name()})
	second := low.output(1)
	second.Priority = 150
	o.Use([]outlet.Output{
		{Ports: ports(1, 3)}, {Ports: ports(2), To: []netip.AddrPort{netip.MustParseAddrPort("127.0.5.3:0")}}, low.output(3), second, high.output(),
	}, ports(1, 2, 3))
	require.NoError(t, o.Open())
	run(t, o)

	addresses, slots := []uint16{1, 2, 3}, [][]byte{{11, 1}, {22, 2}, {33, 3}}
	playUntil(t, o, "the node that is found shows its universes", addresses, slots, func() bool {
		return shows(found, 1, slots[0])() && shows(found, 3, slots[2])()
	})
	_, _, _, ok := found.Frame(2)
	require.False(t, ok, "2 goes to another by name")
	require.NotZero(t, named.Stats().OtherPort, "which gets it though it does not ask for it")
	require.Len(t, o.Links(), 1)
	require.Len(t, o.Nodes(), 2)

	outside.Await(t, "all is there", func() bool { return high.has(func(d *sacn.Data) bool { return d.Universe == 3 }) })
	for universe, priority := range map[sacn.Universe]uint8{3: 100, 1: 150} {
		require.True(t, low.has(func(d *sacn.Data) bool { return d.Universe == universe && d.Priority == priority }))
		require.True(t, high.has(func(d *sacn.Data) bool { return d.Universe == universe && d.Priority == 100 }))
	}
	require.False(t, low.has(func(d *sacn.Data) bool { return d.Universe == 2 }))
	cids := map[sacn.CID]bool{}
	low.mu.Lock()
	for _, d := range low.got {
		cids[d.CID] = true
	}
	low.mu.Unlock()
	require.Len(t, cids, 2, "two priorities are two sources")
	require.Empty(t, o.Faults())
	require.Equal(t, ports(1, 2, 3), o.Elsewhere(), "each goes somewhere else too")
	o.Use([]outlet.Output{{Ports: ports(1, 3)}, {Ports: ports(2), To: []netip.AddrPort{netip.MustParseAddrPort("127.0.5.3:0")}}, low.output(3)}, ports(1, 2, 3))
	require.Equal(t, ports(2, 3), o.Elsewhere())
}

// A location change: what both have goes on without a gap, what only the old
// had is darkened by the engine, ended and closed.
func TestUseOfAnotherLocation(t *testing.T) {
	kept, left, came := listen(t), listen(t), listen(t)
	o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), Show: t.Name()})
	o.Use([]outlet.Output{kept.output(1, 2), left.output(2)}, ports(1, 2))
	run(t, o)
	playUntil(t, o, "all is open", []uint16{1, 2}, [][]byte{{1}, {2}}, func() bool {
		return kept.has(func(d *sacn.Data) bool { return d.Universe == 2 }) && left.has(func(*sacn.Data) bool { return true })
	})

	o.Use([]outlet.Output{kept.output(), came.output(3)}, ports(1, 3))
	for range 3 { // as play.Engine does
		require.NoError(t, o.SendFrame([]uint16{2}, [][]byte{{0}}, true))
		require.NoError(t, o.SendFrame([]uint16{1, 3}, [][]byte{{5}, {6}}, false))
		time.Sleep(time.Second / 44)
	}
	dark := func(d *sacn.Data) bool { return d.Universe == 2 && d.Options == 0 && d.Slots[0] == 0 }
	outside.Await(t, "what is left behind is dark, both ways", func() bool { return kept.has(dark) && left.has(dark) })
	ended := func(d *sacn.Data) bool { return d.Universe == 2 && d.Options&sacn.Terminated != 0 }
	playUntil(t, o, "what is left is ended", []uint16{1, 3}, [][]byte{{5}, {6}}, func() bool {
		return left.count(ended) == 3 && kept.count(ended) == 3
	})
	require.True(t, came.has(func(d *sacn.Data) bool { return d.Universe == 3 }))
	require.False(t, left.has(func(d *sacn.Data) bool { return d.Universe == 3 || d.Universe == 1 }))
	last := -1
	kept.mu.Lock()
	for _, d := range kept.got {
		if d.Universe != 1 {
			continue
		}
		require.Zero(t, d.Options, "it was never ended")
		if last >= 0 {
			require.Equal(t, uint8(last+1), d.Sequence, "and counts on")
		}
		last = int(d.Sequence)
	}
	kept.mu.Unlock()

	left.forget()
	o.Use([]outlet.Output{left.output()}, ports(2))
	playUntil(t, o, "and back", []uint16{2}, [][]byte{{7}}, func() bool {
		return left.has(func(d *sacn.Data) bool { return d.Options == 0 && d.Slots[0] == 7 })
	})
}

// An interface that is missing is told, tried again, and costs the others
// nothing.
func TestMissingInterface(t *testing.T) {
	r := listen(t)
	o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), Show: t.Name()})
	away := r.output(2)
	away.Interface = "nowhere9"
	o.Use([]outlet.Output{{Ports: ports(3), Interface: "nowhere8"}, away, r.output(1)}, ports(1, 2, 3))
	require.NoError(t, o.Open(), "the interface that the command was told is there")
	run(t, o)
	err := o.SendFrame([]uint16{1, 2, 3}, [][]byte{{1}, {2}, {3}}, true)
	require.ErrorContains(t, err, "Art-Net by nowhere8")
	outside.Await(t, "the other goes out", func() bool { return r.has(func(d *sacn.Data) bool { return d.Universe == 1 }) })
	require.NoError(t, o.SendFrame([]uint16{1}, [][]byte{{1}}, false), "nothing is lost")
	faults := o.Faults()
	require.Len(t, faults, 2)
	require.Equal(t, "Art-Net by nowhere8", faults[0].Output)
	require.Equal(t, "sACN by nowhere9 to 127.0.0.1", faults[1].Output)
	require.ErrorContains(t, faults[1].Err, "use one of")

	o = outlet.New(outlet.Config{Interface: "nowhere7", Show: t.Name()})
	o.Use([]outlet.Output{{}}, ports(1))
	require.ErrorContains(t, o.Open(), "nowhere7", "a slip on the command line is told at once")
}

// Dry runs go, marked, only the ways that ask for them.
func TestPreview(t *testing.T) {
	shown, not := listen(t), listen(t)
	o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), Show: t.Name()})
	marked := shown.output()
	marked.Preview = true
	o.Use([]outlet.Output{marked, not.output(), {}}, ports(1))
	require.NoError(t, o.Open())
	run(t, o)
	require.NoError(t, o.Preview().SendFrame([]uint16{1}, [][]byte{{9}}, false))
	outside.Await(t, "it is there", func() bool { return shown.has(func(d *sacn.Data) bool { return d.Options == sacn.Preview }) })
	require.False(t, shown.has(func(d *sacn.Data) bool { return d.Options != sacn.Preview }))
	require.False(t, not.has(func(*sacn.Data) bool { return true }))
	require.Zero(t, o.Links()[0].Stats().Frames)
}

// Ending ends every stream.
func TestCloseEndsStreams(t *testing.T) {
	r := listen(t)
	o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(t), Show: t.Name()})
	o.Use([]outlet.Output{r.output()}, ports(1, 2))
	require.NoError(t, o.Open())
	require.NoError(t, o.SendFrame([]uint16{1, 2}, [][]byte{{1}, {2}}, true))
	o.Close()
	outside.Await(t, "three times each", func() bool {
		return r.count(func(d *sacn.Data) bool { return d.Options&sacn.Terminated != 0 }) == 6
	})
	require.NoError(t, o.SendFrame([]uint16{1, 2}, [][]byte{{1}, {2}}, true), "there is no way out any more")
}
