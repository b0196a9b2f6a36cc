package source_test

import (
	"fmt"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

// BenchmarkSendFrame sends frames of which every universe changed, over loopback
// to one receiver that nobody reads. The baseline sends the same datagrams, made
// before, in the same batches.
func BenchmarkSendFrame(b *testing.B) {
	for _, n := range []int{1, 16, 256, 1024} {
		addresses, slots := universes(n)
		b.Run(fmt.Sprintf("universes=%d", n), func(b *testing.B) {
			s := toSink(b)
			now := time.Now()
			b.ReportAllocs()
			for b.Loop() {
				now = now.Add(frameGap)
				for i := range slots {
					slots[i][0]++
				}
				if err := s.SendFrameAt(now, addresses, slots, false); err != nil {
					b.Fatal(err)
				}
			}
			perUniverse(b, n)
		})
		b.Run(fmt.Sprintf("baseline=%d", n), func(b *testing.B) {
			sink, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
			require.NoError(b, err)
			defer sink.Close()
			to := sink.LocalAddr().(*net.UDPAddr).AddrPort()
			w, err := peer.OpenSender(peer.Interface{Prefix: netip.MustParsePrefix("127.0.0.1/8")}, peer.SenderOptions{TTL: 1})
			require.NoError(b, err)
			defer w.Close()
			packets := make([][]byte, n)
			for i := range packets {
				packets[i], err = (&sacn.Data{CID: bench, Universe: sacn.Universe(i + 1), Slots: slots[i]}).AppendBinary(nil)
				require.NoError(b, err)
			}
			batch := peer.NewBatch(n)
			b.ReportAllocs()
			for b.Loop() {
				batch.Reset()
				for _, p := range packets {
					batch.Add(p, to)
				}
				if err := w.Send(batch); err != nil {
					b.Fatal(err)
				}
			}
			perUniverse(b, n)
		})
	}
}

// BenchmarkUnchanged is the cost of a frame that has nothing new.
func BenchmarkUnchanged(b *testing.B) {
	addresses, slots := universes(1024)
	s, err := source.OpenWire(config(source.Config{}), func() (source.Wire, error) { return &fakeWire{quiet: true}, nil })
	require.NoError(b, err)
	now := time.Now()
	for range sacn.Repeats {
		now = now.Add(frameGap)
		require.NoError(b, s.SendFrameAt(now, addresses, slots, false))
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := s.SendFrameAt(now, addresses, slots, false); err != nil {
			b.Fatal(err)
		}
	}
	perUniverse(b, len(addresses))
}

func perUniverse(b *testing.B, n int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/universe")
}

// toSink is a source to a socket on loopback that nobody reads.
func toSink(t testing.TB) *source.Source {
	t.Helper()
	sink, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { sink.Close() })
	s, err := source.Open(config(source.Config{
		Interface: "127.0.0.1", Sync: 7000, To: []netip.AddrPort{sink.LocalAddr().(*net.UDPAddr).AddrPort()},
	}))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

func universes(n int) (addresses []uint16, slots [][]byte) {
	for i := range n {
		addresses, slots = append(addresses, uint16(i+1)), append(slots, make([]byte, 512))
	}
	return addresses, slots
}
