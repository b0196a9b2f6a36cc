package light

import (
	"context"
	"slices"
	"sync"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// airsKept is how many airs are kept, those longest not asked for going first: some
// hundred kilobytes each.
const airsKept = 6

// Air is what haze gives the picture of a set-up.
type Air struct {
	Hash   string // of what it was computed for
	Packed []byte // a light map of the blocks of the picture, in gzip; not to be changed
}

// ComputeHaze computes an encoded picture.HazeTask, and gives its air as Air.Packed is.
type ComputeHaze func(ctx context.Context, task []byte) ([]byte, error)

// Haze has the air of stages computed, elsewhere, and keeps the newest. One is computed at
// a time. It is safe for concurrent use.
type Haze struct {
	compute ComputeHaze
	turn    chan struct{} // holds one while somebody computes
	mu      sync.Mutex
	kept    []Air // newest last
}

// NewHaze keeps nothing yet.
func NewHaze(compute ComputeHaze) *Haze { return &Haze{compute: compute, turn: make(chan struct{}, 1)} }

// Of gives the air before the camera of a set-up of a stage in a haze that takes a share,
// over 0 and under 1, of the light on 10 m of its way. The error is that of ctx or that of
// ComputeHaze.
func (h *Haze) Of(ctx context.Context, set *stage.Stage, setup *cues.Setup, share float64) (Air, error) {
	task, err := set.Haze(setup, share).AppendBinary(nil)
	if err != nil {
		return Air{}, err
	}
	key := transport.Key(task)
	if a, ok := h.find(key); ok {
		return a, nil
	}
	select {
	case <-ctx.Done():
		return Air{}, ctx.Err()
	case h.turn <- struct{}{}:
	}
	defer func() { <-h.turn }()
	if a, ok := h.find(key); ok { // by who was first
		return a, nil
	}
	if err := ctx.Err(); err != nil {
		return Air{}, err
	}
	packed, err := h.compute(ctx, task)
	if err != nil {
		return Air{}, err
	}
	a := Air{key, packed}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.kept = append(h.kept, a)
	h.kept = slices.Delete(h.kept, 0, max(0, len(h.kept)-airsKept))
	return a, nil
}

// find gives what is kept, as the newest from now on.
func (h *Haze) find(key string) (Air, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	i := slices.IndexFunc(h.kept, func(a Air) bool { return a.Hash == key })
	if i < 0 {
		return Air{}, false
	}
	a := h.kept[i]
	h.kept = append(slices.Delete(h.kept, i, i+1), a)
	return a, true
}
