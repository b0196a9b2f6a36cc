package link_test

import (
	"errors"
	"net/netip"
	"os"
	"slices"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/peer"
)

// What the engine asks of an output; the rooms meet in no import.
var _ interface {
	SendFrame(addresses []uint16, slots [][]byte, first bool) error
} = (*link.Link)(nil)

func universes(n int) (addresses []uint16, slots [][]byte) {
	for i := range n {
		addresses, slots = append(addresses, uint16(i+1)), append(slots, make([]byte, 512))
	}
	return addresses, slots
}

// toA sends everything to one device, without discovery and without pauses,
// which pacer_test.go is about.
var toA = link.Config{To: []netip.AddrPort{nodeA}, InARow: 512}

const frameGap = time.Second / 44

func TestUnchangedDataRepeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		const n = 64
		addresses, slots := universes(n)
		last := map[artnet.PortAddress]time.Time{}
		sequence := map[artnet.PortAddress]uint8{}
		most, later := 0, 0
		for frame := range 44 * 60 {
			require.NoError(t, l.SendFrame(addresses, slots, false))
			dmx, _, at := take[*artnet.Dmx](t, w)
			switch {
			case frame == 0:
				require.Len(t, dmx, n)
			case frame < 44*10:
				most = max(most, len(dmx))
			default:
				later = max(later, len(dmx))
			}
			for i, d := range dmx {
				if before, ok := last[d.PortAddress]; ok {
					gap := at[i].Sub(before)
					// Art-Net 4, ArtDmx: repeat unchanged data, 800..1000 ms recommended, 4 s at most.
					require.GreaterOrEqual(t, gap, 800*time.Millisecond)
					require.LessOrEqual(t, gap, time.Second)
				}
				require.Equal(t, artnet.NextSequence(sequence[d.PortAddress]), d.Sequence)
				last[d.PortAddress], sequence[d.PortAddress] = at[i], d.Sequence
			}
			time.Sleep(frameGap)
		}
		for a, at := range last {
			require.LessOrEqual(t, time.Since(at), time.Second+frameGap, "port-address %v", a)
		}
		// Evenly, 64 repeats a second in 800..950 ms would be 10 a frame after
		// the first frame, and less than 2 a frame once they have drifted apart.
		require.LessOrEqual(t, most, n/3)
		require.LessOrEqual(t, later, n/6)
		require.Equal(t, l.Stats().Packets-n, l.Stats().Repeats)
	})
}

func TestChangedUniversesGoAtOnceAndAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		addresses, slots := universes(4)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		take[*artnet.Dmx](t, w)
		time.Sleep(frameGap)
		slots[2][511] = 1
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, to, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Equal(t, []netip.AddrPort{nodeA}, to)
		require.Equal(t, artnet.PortAddress(3), dmx[0].PortAddress)
		require.Equal(t, slots[2], dmx[0].Data)
		time.Sleep(frameGap)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 4, "the first frame of a cue goes out whole")
		// Fewer slots than before is a change, too.
		time.Sleep(frameGap)
		slots[0] = slots[0][:100]
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Len(t, dmx[0].Data, 100)
	})
}

// 44 Hz is the most a DMX512 line carries: 22 676 us for 512 slots (ANSI E1.11:
// 92 us break, 12 us mark, 44 us a slot and the START code).
func TestRateIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		addresses, slots := universes(1)
		const seconds = 20
		for i := range 500 * seconds { // 500 changing frames a second, each called a cue's first
			slots[0][0], slots[0][1] = byte(i), byte(i>>8)
			require.NoError(t, l.SendFrame(addresses, slots, true))
			time.Sleep(2 * time.Millisecond)
		}
		dmx, _, at := take[*artnet.Dmx](t, w)
		require.InDelta(t, 44.1*seconds, len(dmx), 4)
		for i := 44; i < len(at); i++ {
			require.Greater(t, at[i].Sub(at[i-44]), 900*time.Millisecond, "bursts stay short")
		}
		require.Positive(t, l.Stats().Held)

		// What was held back last is not forgotten.
		slots[0][2] = 77
		require.NoError(t, l.SendFrame(addresses, slots, false))
		time.Sleep(100 * time.Millisecond)
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Equal(t, byte(77), dmx[len(dmx)-1].Data[2])
	})
}

func TestFullRateLosesNoFrame(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		addresses, slots := universes(2)
		const frames = 44 * 30
		began := time.Now()
		late := []time.Duration{0, 3 * time.Millisecond, 0, 20 * time.Millisecond, 1 * time.Millisecond} // a jittery machine
		for k := range frames {
			due := began.Add(time.Duration(k)*time.Second/44 + late[k%len(late)])
			time.Sleep(time.Until(due))
			slots[0][0]++
			slots[1][0]--
			require.NoError(t, l.SendFrame(addresses, slots, k == 500))
		}
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 2*frames)
		require.Zero(t, l.Stats().Held)
		var want uint8
		for _, d := range dmx {
			if d.PortAddress == 1 {
				want = artnet.NextSequence(want)
				require.Equal(t, want, d.Sequence)
			}
		}
	})
}

func TestSequenceOutlivesAChangeOfLocation(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 1}, {2, 2}}, true))
		require.NoError(t, l.SendFrame([]uint16{2, 9}, [][]byte{{3, 3}, {4, 4}}, true))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 4)
		require.Equal(t, artnet.Dmx{Sequence: 2, PortAddress: 2, Data: []byte{3, 3}}, *dmx[2])
		require.Equal(t, artnet.Dmx{Sequence: 1, PortAddress: 9, Data: []byte{4, 4}}, *dmx[3])
	})
}

func TestFailedSendsAreCountedAndMadeUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{To: []netip.AddrPort{nodeA, nodeB}})
		refused := errors.New("refused")
		w.failWith(func(to netip.AddrPort) error {
			if to == nodeA {
				return refused
			}
			return nil
		})
		err := l.SendFrame([]uint16{1, 2}, [][]byte{{1, 1}, {2, 2}}, true)
		require.ErrorIs(t, err, refused)
		require.ErrorContains(t, err, nodeA.String())
		_, to, _ := take[*artnet.Dmx](t, w)
		require.Equal(t, []netip.AddrPort{nodeB, nodeB}, to, "one device's failure is not the other's")
		require.Equal(t, uint64(2), l.Stats().SendErrors)
		require.Contains(t, l.Stats().LastError, "refused")
		w.failWith(nil)
		time.Sleep(frameGap)
		require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 1}, {2, 2}}, false))
		_, to, _ = take[*artnet.Dmx](t, w)
		require.Equal(t, []netip.AddrPort{nodeA, nodeA, nodeB, nodeB}, to, "device by device")
		require.Zero(t, l.Stats().Reopened)
	})
}

func TestNetworkThatTakesNothingDoesNotHoldTheFrame(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		left := 3
		w.failWith(func(netip.AddrPort) error {
			if left--; left < 0 {
				return os.ErrDeadlineExceeded
			}
			return nil
		})
		addresses, slots := universes(8)
		require.ErrorIs(t, l.SendFrame(addresses, slots, true), os.ErrDeadlineExceeded)
		require.Equal(t, uint64(1), l.Stats().SendErrors, "the rest of the frame is not tried")
		left = 3
		require.Error(t, l.SendFrame(addresses, slots, false))
		left = 100
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		var order []artnet.PortAddress
		for _, d := range dmx {
			order = append(order, d.PortAddress)
		}
		require.Equal(t, []artnet.PortAddress{1, 2, 3, 4, 5, 6, 7, 8}, order, "the next frame goes on where the last one stopped")
	})
}

func TestVanishedNetworkIsOpenedAnew(t *testing.T) {
	gone := &os.SyscallError{Syscall: "sendto", Err: syscall.ENETUNREACH}
	if !peer.Lost(gone) {
		t.Skip("this system has other error numbers")
	}
	synctest.Test(t, func(t *testing.T) {
		var wires []*fakeWire
		l, err := link.OpenWire(toA, func() (link.Wire, error) {
			wires = append(wires, newFakeWire())
			return wires[len(wires)-1], nil
		})
		require.NoError(t, err)
		run(t, l)
		wires[0].failWith(func(netip.AddrPort) error { return gone })
		require.ErrorIs(t, l.SendFrame([]uint16{1}, [][]byte{{1, 1}}, true), syscall.ENETUNREACH)
		time.Sleep(time.Second)
		synctest.Wait()
		require.Len(t, wires, 2)
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 1}}, false))
		dmx, _, _ := take[*artnet.Dmx](t, wires[1])
		require.Len(t, dmx, 1)
	})
}

func TestMachineThatWasBusyElsewhere(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		failed := false
		w.failWith(func(netip.AddrPort) error {
			if failed = !failed; failed {
				return os.ErrDeadlineExceeded // every first try
			}
			return nil
		})
		addresses, slots := universes(8)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 8)
	})
}

func TestFrameThatMakesNoSense(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		require.ErrorContains(t, l.SendFrame([]uint16{1}, nil, true), "slots for 0")
		require.ErrorIs(t, l.SendFrame([]uint16{1, 0x8000}, [][]byte{{1, 1}, {1, 1}}, true), artnet.ErrPortAddress)
		require.ErrorIs(t, l.SendFrame([]uint16{1, 2}, [][]byte{make([]byte, 513), {1, 1}}, true), artnet.ErrLength)
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Equal(t, artnet.PortAddress(2), dmx[0].PortAddress, "the rest of the frame is sent")
		require.NoError(t, l.SendFrame(nil, nil, true))
	})
}

func TestSendFrameKeepsNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		addresses, slots := universes(3)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		clear(addresses)
		for _, s := range slots {
			clear(s)
		}
		addresses, slots = []uint16{1, 2, 3}, slices.Repeat([][]byte{make([]byte, 512)}, 3)
		take[*artnet.Dmx](t, w)
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Empty(t, dmx)
	})
}
