package outlet_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outlet"
	"linkboy/artnet/outside"
)

// BenchmarkSplit is what splitting costs: frames of 1024 universes that nobody
// takes, by none, one and four ways.
func BenchmarkSplit(b *testing.B) {
	const n = 1024
	var addresses []uint16
	var slots [][]byte
	var all []artnet.PortAddress
	for i := range n {
		addresses, slots, all = append(addresses, uint16(i+1)), append(slots, make([]byte, 512)), append(all, artnet.PortAddress(i+1))
	}
	for _, ways := range []int{0, 1, 4} {
		b.Run(fmt.Sprintf("ways=%d", ways), func(b *testing.B) {
			o := outlet.New(outlet.Config{Interface: "127.0.0.1", Port: outside.FreePort(b), Show: b.Name()})
			var outputs []outlet.Output
			for i := range ways {
				outputs = append(outputs, outlet.Output{Over: outlet.SACN, Interface: fmt.Sprintf("nowhere%d", i)})
			}
			o.Use(outputs, all)
			require.NoError(b, o.Open())
			b.ReportAllocs()
			for b.Loop() {
				_ = o.SendFrame(addresses, slots, false)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/universe")
		})
	}
}
