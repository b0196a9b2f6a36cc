// Package playtest checks that a play.Output and a play.Waiter keep their
// contracts.
package playtest

import (
	"bytes"
	"testing"

	"linkboy/cues/play"
)

// T is the part of testing.T that Check needs.
type T interface {
	Helper()
	Errorf(format string, args ...any)
}

// Keeper is an Output that can tell what it last took for a port-address.
// Check uses it, where there is one, to see whether the bytes were copied.
type Keeper interface {
	Kept(address uint16) (slots []byte, ok bool)
}

// Check reports where the outputs that open makes break the contract of
// play.Output. An output must
//
//   - take a frame of no universes, of one, of many, of any even length within
//     2..512, and a set of universes that changes from frame to frame, as first
//     frames and as others, without an error;
//   - leave alone what it is given, during the call and after it;
//   - keep none of it: the engine writes the next frame into the same bytes. Run
//     the check with the race detector to catch an output that reads them late;
//   - allocate nothing once it has seen a frame of that shape.
//
// An output is called by one goroutine at a time, not always the one that made
// it. It need not allow more. Everything Check opens is left to the caller to
// close.
func Check(t T, open func() play.Output) {
	t.Helper()
	checkShapes(t, open())
	checkLeavesAlone(t, open())
	checkKeepsNothing(t, open())
	checkAllocations(t, open())
}

// frame is a frame of the given universe lengths, from one address on.
func frame(address uint16, lengths ...int) (addresses []uint16, slots [][]byte) {
	for i, n := range lengths {
		addresses = append(addresses, address+uint16(i))
		bytes := make([]byte, n)
		for at := range bytes {
			bytes[at] = byte(at*7 + i + 1)
		}
		slots = append(slots, bytes)
	}
	return addresses, slots
}

func checkShapes(t T, o play.Output) {
	t.Helper()
	shapes := [][]int{{}, {512}, {2, 4, 510, 512}, {}, {512, 512, 512}, {2}}
	for i, lengths := range shapes {
		for _, first := range []bool{true, false} {
			addresses, slots := frame(uint16(i), lengths...)
			var err error
			elsewhere(func() { err = o.SendFrame(addresses, slots, first) })
			if err != nil {
				t.Errorf("a frame of universes of %v slots, first %v: %v", lengths, first, err)
			}
		}
	}
	if err := o.SendFrame(nil, nil, false); err != nil {
		t.Errorf("a frame of nil: %v", err)
	}
}

// elsewhere runs f in another goroutine and waits for it.
func elsewhere(f func()) {
	done := make(chan struct{})
	go func() {
		defer close(done)
		f()
	}()
	<-done
}

func checkLeavesAlone(t T, o play.Output) {
	t.Helper()
	addresses, slots := frame(3, 512, 2, 100)
	wantAddresses, wantSlots := frame(3, 512, 2, 100)
	for i := range 20 {
		if err := o.SendFrame(addresses, slots, i == 0); err != nil {
			t.Errorf("frame %d: %v", i, err)
		}
		for u := range wantSlots {
			if addresses[u] != wantAddresses[u] || !bytes.Equal(slots[u], wantSlots[u]) {
				t.Errorf("frame %d: the output has changed universe %d of what it was given", i, u)
				return
			}
		}
	}
}

// checkKeepsNothing writes over a frame as soon as the call has returned.
func checkKeepsNothing(t T, o play.Output) {
	t.Helper()
	addresses, slots := frame(5, 512, 64)
	keeper, _ := o.(Keeper)
	for round := range 20 {
		want := byte(round + 1)
		for u := range slots {
			addresses[u] = uint16(5 + u)
			fill(slots[u], want)
		}
		if err := o.SendFrame(addresses, slots, false); err != nil {
			t.Errorf("frame %d: %v", round, err)
		}
		lengths := []int{len(slots[0]), len(slots[1])}
		for u := range slots {
			addresses[u] = 0x7000
			fill(slots[u], 0xEE)
		}
		if keeper == nil {
			continue
		}
		for u, n := range lengths {
			kept, ok := keeper.Kept(uint16(5 + u))
			if !ok || len(kept) != n || bytes.Count(kept, []byte{want}) != n {
				t.Errorf("frame %d, port-address %d: the output has not copied the %d bytes of %#x that it took: %d bytes, %#x ...",
					round, 5+u, n, want, len(kept), kept[:min(4, len(kept))])
				return
			}
		}
	}
}

func fill(b []byte, v byte) {
	for i := range b {
		b[i] = v
	}
}

func checkAllocations(t T, o play.Output) {
	t.Helper()
	addresses, slots := frame(0, 512, 512, 512, 512)
	n := 0
	allocs := testing.AllocsPerRun(200, func() {
		n++
		slots[0][0] = byte(n) // a frame that differs from the last one
		if err := o.SendFrame(addresses, slots, n%8 == 0); err != nil {
			t.Errorf("frame %d: %v", n, err)
		}
	})
	if allocs != 0 {
		t.Errorf("SendFrame allocates %v times a frame: want 0", allocs)
	}
}
