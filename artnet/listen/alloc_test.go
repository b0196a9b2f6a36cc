//go:build !race

package listen_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/sacn"
)

// Packets of a known source make nothing. The race detector allocates, so this
// holds only without it.
func TestTakeAllocs(t *testing.T) {
	b := newBench(t)
	name, err := sacn.NewName("their desk")
	require.NoError(t, err)
	dmx := b.bytes(&artnet.Dmx{PortAddress: 1, Data: make([]byte, 512)})
	data := b.bytes(&sacn.Data{Universe: 1, SourceName: name, Slots: make([]byte, 512)})
	require.Zero(t, testing.AllocsPerRun(100, func() { b.TakeArtNet(b.now, one, dmx) }))
	require.Zero(t, testing.AllocsPerRun(100, func() {
		data[sacn.DataSequenceAt]++
		b.TakeSACN(b.now, one, data)
	}))
	require.NotZero(t, b.Counts().SACNData)
}
