package play_test

import (
	"context"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// wire is an Output like a network of nodes: each holds what it last got for a
// port-address, as far as it got it.
type wire struct {
	mu    sync.Mutex
	holds map[uint16][]byte
	calls int
}

func (w *wire) SendFrame(addresses []uint16, slots [][]byte, _ bool) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.calls++
	for i, a := range addresses {
		if held := w.holds[a]; len(held) < len(slots[i]) {
			w.holds[a] = slices.Concat(slots[i])
			continue
		}
		copy(w.holds[a], slots[i])
	}
	return nil
}

func (w *wire) held(address uint16) []byte {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.holds[address])
}

func (w *wire) frames() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.calls
}

// at is a layout of n emitters of 8 bits and a parameter that is safe at half.
func at(address uint16, n int) *track.Layout {
	l := &track.Layout{Universes: []track.Universe{{Address: address, Base: make([]byte, n+2)}}, Curves: []track.Curve{{}}}
	for i := range n {
		l.Slots = append(l.Slots, track.Slot{Offset: int32(i)})
	}
	l.Slots = append(l.Slots, track.Slot{Offset: int32(n), Param: true, Safe: 0.5})
	return l
}

// A node goes on with what it last got (Art-Net 4, ArtDmx: a node holds the
// last frame), so a location that is left must be told to be dark and safe.
func TestLeftLocationGoesDark(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{holds: map[uint16][]byte{}}
		e := play.New(play.Config{Output: w})
		go func() { _ = e.Run(t.Context()) }()
		require.NoError(t, e.Load(at(1, 4), all(5, 1)))
		now(t, e)
		require.Equal(t, []byte{255, 255, 255, 255, 255, 0}, w.held(1))
		require.NoError(t, e.Load(at(2, 4), all(5, 1)))
		now(t, e)
		require.Equal(t, []byte{0, 0, 0, 0, 128, 0}, w.held(1), "dark, and its parameter safe")
		require.Equal(t, []byte{255, 255, 255, 255, 255, 0}, w.held(2))

		require.NoError(t, e.Dry(true))
		require.NoError(t, e.Load(at(2, 2), all(3, 1))) // a shorter frame in the same universe
		now(t, e)
		require.Equal(t, []byte{255, 255, 255, 255, 255, 0}, w.held(2), "a dry run sends nothing")
		require.NoError(t, e.Dry(false))
		time.Sleep(time.Second / 10)
		require.Equal(t, []byte{255, 255, 255, 0, 128, 0}, w.held(2), "what is shared shows the new place")

		before := w.frames()
		time.Sleep(time.Second)
		require.InDelta(t, 44, w.frames()-before, 1, "then it is over")
	})
}

// With nobody there fog must not go on: the last frames of a daemon stop it, and
// leave the light as it is.
func TestEndStopsFog(t *testing.T) {
	for name, row := range map[string]struct {
		stops, dry bool
		frames     int // after the end
	}{"fog": {true, false, 3}, "no fog": {false, false, 0}, "a dry run": {true, true, 0}} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := &recorder{}
				e := play.New(play.Config{Output: r})
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- e.Run(ctx) }()
				l := flat(2)
				l.Slots[1].Param, l.Slots[1].Stops = true, row.stops
				require.NoError(t, e.Load(l, track.Still{0.7, 0.4}))
				time.Sleep(time.Second)
				require.NoError(t, e.Dry(row.dry))
				time.Sleep(time.Second)
				synctest.Wait()
				before := len(r.all())
				cancel()
				require.NoError(t, <-ended)
				last := r.all()[before:]
				require.Len(t, last, row.frames)
				for _, f := range last {
					require.True(t, f.first, "it goes out whatever the output thinks has changed")
					require.InDelta(t, 0.7, f.values[0], step)
					require.Zero(t, f.values[1])
				}
			})
		})
	}
}
