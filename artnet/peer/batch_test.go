package peer_test

import (
	"encoding/binary"
	"errors"
	"math/rand/v2"
	"net"
	"net/netip"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
)

// udp is a socket on loopback.
func udp(t testing.TB) *net.UDPConn {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	require.NoError(t, c.SetReadBuffer(1<<20))
	t.Cleanup(func() { c.Close() })
	return c
}

func addrOf(c *net.UDPConn) netip.AddrPort {
	a := c.LocalAddr().(*net.UDPAddr).AddrPort()
	return netip.AddrPortFrom(a.Addr().Unmap(), a.Port())
}

func writer(t testing.TB, c *net.UDPConn) *peer.Writer {
	t.Helper()
	w, err := peer.NewWriter(c)
	require.NoError(t, err)
	return w
}

// heard reads n datagrams, and makes sure that no more is there.
func heard(t *testing.T, c *net.UDPConn, n int) []string {
	t.Helper()
	var got []string
	buf := make([]byte, 2048)
	require.NoError(t, c.SetReadDeadline(time.Now().Add(20*time.Second)))
	for range n {
		k, err := c.Read(buf)
		require.NoError(t, err, "%d of %d datagrams came", len(got), n)
		got = append(got, string(buf[:k]))
	}
	// On loopback a datagram is there when the call that sent it returns.
	require.NoError(t, c.SetReadDeadline(time.Now().Add(time.Millisecond)))
	_, err := c.Read(buf)
	require.ErrorIs(t, err, os.ErrDeadlineExceeded, "more than the %d datagrams came", n)
	return got
}

// Any mixture arrives whole, each destination's in order; the batch is re-used.
func TestBatchArrives(t *testing.T) {
	nodes := []*net.UDPConn{udp(t), udp(t), udp(t)}
	w := writer(t, udp(t))
	b := peer.NewBatch(4)
	random := rand.New(rand.NewPCG(1, 2))
	sizes := []int{530, 530, 530, 530, 0, 2, 20, 1472}
	for range 20 {
		b.Reset()
		want := make([][]string, len(nodes))
		for k := 0; k < 300; {
			node, size := random.IntN(len(nodes)), sizes[random.IntN(len(sizes))]
			for range 1 + random.IntN(80) {
				data := make([]byte, size)
				if size >= 2 {
					binary.BigEndian.PutUint16(data, uint16(k))
				}
				b.Add(data, addrOf(nodes[node]))
				want[node] = append(want[node], string(data))
				k++
			}
		}
		require.NoError(t, w.Send(b))
		require.Equal(t, b.Len(), b.Tried())
		for i := range b.Len() {
			require.NoError(t, b.Err(i))
		}
		for i, n := range nodes {
			require.Equal(t, want[i], heard(t, n, len(want[i])))
		}
		require.NoError(t, w.Send(b), "nothing is left to send")
	}
}

// An error of one destination costs the others nothing, and is named.
func TestBatchErrorsAreTheirOwn(t *testing.T) {
	good := udp(t)
	w := writer(t, udp(t))
	b := peer.NewBatch(16)
	huge, data := make([]byte, 70000), make([]byte, 530)
	outside := netip.MustParseAddrPort("203.0.113.9:6454") // never from a loopback address
	six := netip.MustParseAddrPort("[2001:db8::1]:6454")
	for range 3 {
		b.Reset()
		var bad []bool
		add := func(fails bool, data []byte, to netip.AddrPort, n int) {
			for range n {
				b.Add(data, to)
				bad = append(bad, fails)
			}
		}
		add(true, data, six, 1)
		add(false, data, addrOf(good), 90) // more than one system call takes
		add(true, data, outside, 4)
		add(false, data, addrOf(good), 1)
		add(true, huge, addrOf(good), 1)
		add(false, data, addrOf(good), 2)
		add(true, data, six, 2)
		add(true, data, outside, 1)
		add(false, data, addrOf(good), 1)
		require.NoError(t, w.Send(b))
		for i, fails := range bad {
			require.Equal(t, fails, b.Err(i) != nil, "datagram %d to %v: %v", i, b.To(i), b.Err(i))
		}
		require.Len(t, heard(t, good, 94), 94)
	}
}

func TestBatchStopsAtTheDeadlineAndGoesOn(t *testing.T) {
	node, c := udp(t), udp(t)
	w := writer(t, c)
	b := peer.NewBatch(2)
	b.Add([]byte("one"), addrOf(node))
	b.Add([]byte("two"), addrOf(node))
	require.NoError(t, c.SetWriteDeadline(time.Unix(1, 0)))
	require.ErrorIs(t, w.Send(b), os.ErrDeadlineExceeded)
	require.Zero(t, b.Tried())
	require.ErrorIs(t, b.Err(0), os.ErrDeadlineExceeded)
	require.NoError(t, c.SetWriteDeadline(time.Time{}))
	require.NoError(t, w.Send(b))
	require.NoError(t, b.Err(0))
	require.Equal(t, []string{"one", "two"}, heard(t, node, 2))

	require.NoError(t, c.Close())
	b.Reset()
	b.Add([]byte("late"), addrOf(node))
	require.ErrorIs(t, w.Send(b), net.ErrClosed)
}

// One call a datagram, as on systems without anything better, behaves alike.
func TestSendEach(t *testing.T) {
	b := peer.NewBatch(0)
	node := netip.MustParseAddrPort("192.0.2.21:6454")
	for _, s := range []string{"a", "b", "c", "d"} {
		b.Add([]byte(s), node)
	}
	refused := errors.New("refused")
	fails := map[string]error{"b": refused, "c": os.ErrDeadlineExceeded}
	var sent string
	write := func(data []byte, to netip.AddrPort) error {
		require.Equal(t, node, to)
		if err := fails[string(data)]; err != nil {
			return err
		}
		sent += string(data)
		return nil
	}
	require.ErrorIs(t, b.SendEach(write), os.ErrDeadlineExceeded)
	require.Equal(t, 2, b.Tried())
	delete(fails, "c")
	require.NoError(t, b.SendEach(write))
	require.Equal(t, "acd", sent)
	require.Equal(t, []error{nil, refused, nil, nil}, []error{b.Err(0), b.Err(1), b.Err(2), b.Err(3)})
}
