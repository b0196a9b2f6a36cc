package link_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

// An hour of a network where everything moves: devices that answer, one that
// comes and goes, another controller now and then, and garbage. Memory is flat.
func TestMemoryIsFlatAfterAnHour(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 2}, {1, 2}}, false))
		theirs := encode(t, &artnet.Dmx{PortAddress: 1, Data: []byte{9, 9}})
		still, comes := pageOf(t, "still", 1, 1), pageOf(t, "comes", 2, 2)
		minute := func(n int) {
			for i := range 22 {
				w.receive(nodeA, still)
				if i < 11 {
					w.receive(nodeB, comes)
				}
				if n%2 == 0 {
					w.receive(other, theirs)
				}
				for _, b := range garbage(t) {
					w.receive(nodeC, b)
				}
				require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{byte(i), 2}, {1, byte(n)}}, false))
				time.Sleep(2727 * time.Millisecond)
			}
			w.mu.Lock()
			w.sent = w.sent[:0]
			w.mu.Unlock()
		}
		minute(0)
		minute(1)
		before := usage()
		for n := range 60 {
			minute(n)
		}
		after := usage()
		require.Less(t, after.heap, before.heap+1<<18, "bytes in use")
		require.LessOrEqual(t, after.goroutines, before.goroutines)
		require.Len(t, l.Nodes(), 2)
		require.False(t, l.Nodes()[0].Lost)
		require.True(t, l.Nodes()[1].Lost, "it is away in the second half of every minute")
	})
}
