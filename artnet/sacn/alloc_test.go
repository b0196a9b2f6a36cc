//go:build !race

package sacn_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// The race detector allocates, so these budgets hold only without it.
func TestAllocs(t *testing.T) {
	buf := make([]byte, 0, 1200)
	packets := goldenPackets(t)
	data, sync, list := packets["e131-data-512-synced"], packets["e131-sync"], packets["e131-discovery"]
	dataWire, syncWire, listWire := outside.Golden(t, "e131-data-512-synced"), outside.Golden(t, "e131-sync"), outside.Golden(t, "e131-discovery")
	var intoData sacn.Data
	var intoSync sacn.Sync
	var intoList sacn.Discovery
	for _, c := range []struct {
		name string
		most float64
		do   func()
	}{
		{"append data", 0, func() { buf, _ = data.AppendBinary(buf[:0]) }},
		{"append sync", 0, func() { buf, _ = sync.AppendBinary(buf[:0]) }},
		{"append discovery", 0, func() { buf, _ = list.AppendBinary(buf[:0]) }},
		{"kind", 0, func() { _, _ = sacn.PeekKind(dataWire) }},
		{"parse into a used data", 0, func() { _ = intoData.Parse(dataWire) }},
		{"parse into a used sync", 0, func() { _ = intoSync.Parse(syncWire) }},
		{"parse into a used discovery", 0, func() { _ = intoList.Parse(listWire) }},
		{"parse any data: the packet", 1, func() { _, _ = sacn.Parse(dataWire) }},
		{"parse any discovery: the packet and its list", 3, func() { _, _ = sacn.Parse(listWire) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.LessOrEqual(t, testing.AllocsPerRun(100, c.do), c.most)
		})
	}
}
