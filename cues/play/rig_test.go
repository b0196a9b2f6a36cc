package play_test

import (
	"context"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// sent is one frame as the output got it.
type sent struct {
	at     time.Time
	first  bool
	values []float64 // of the 16-bit slots of the first universe
	slots  int       // universes
}

// recorder is an Output that remembers every frame.
type recorder struct {
	err error

	mu     sync.Mutex
	frames []sent
	before func(k int) // called before frame k is taken, to make it slow
}

func (r *recorder) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	s := sent{at: time.Now(), first: first, slots: len(addresses)}
	r.mu.Lock()
	k, before := len(r.frames), r.before
	r.mu.Unlock()
	if before != nil {
		before(k)
	}
	if len(slots) > 0 {
		for at := 0; at+1 < len(slots[0]); at += 2 {
			s.values = append(s.values, float64(int(slots[0][at])<<8|int(slots[0][at+1]))/65535)
		}
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.frames = append(r.frames, s)
	return r.err
}

// slow sets what happens before a frame is taken.
func (r *recorder) slow(before func(k int)) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.before = before
}

// all is every frame so far.
func (r *recorder) all() []sent {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.frames
}

func (r *recorder) last() sent {
	frames := r.all()
	return frames[len(frames)-1]
}

// step is one unit of the last byte, as a share of full.
const step = 1.0 / 65535

// flat is a layout of n emitters of 16 bits in one universe.
func flat(n int) *track.Layout {
	l := &track.Layout{
		Universes: []track.Universe{{Address: 7, Base: make([]byte, 2*n)}},
		Curves:    []track.Curve{{}},
	}
	for i := range n {
		l.Slots = append(l.Slots, track.Slot{Offset: int32(2 * i), Wide: true})
	}
	return l
}

// all is a state with every slot at v.
func all(n int, v float32) track.Still {
	s := make(track.Still, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// straight is a fade of n slots from a to b in one straight move.
func straight(n int, a, b float32, total time.Duration) *track.Fade {
	return &track.Fade{From: all(n, a), To: all(n, b), Total: total, Moves: []track.Move{{N: int32(n), Length: 1}}}
}

// bubble runs body in fake time with a running engine of one emitter at 0, at
// a moment between two frames. The engine has ended when it returns.
func bubble(t *testing.T, body func(t *testing.T, e *play.Engine, r *recorder)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		r := &recorder{}
		e := play.New(play.Config{Output: r})
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- e.Run(ctx) }()
		require.NoError(t, e.Load(flat(1), all(1, 0)))
		time.Sleep(1234567 * time.Microsecond)
		defer func() {
			cancel()
			require.NoError(t, <-ended)
		}()
		body(t, e, r)
	})
}

// now is the state after everything asked for has happened.
func now(t *testing.T, e *play.Engine) play.Snapshot {
	t.Helper()
	require.NoError(t, e.Wait(t.Context()))
	var s play.Snapshot
	e.Snapshot(&s)
	return s
}

// start runs a fade and returns its id.
func start(t *testing.T, e *play.Engine, f *track.Fade, opt play.StartOptions) uint64 {
	t.Helper()
	id, err := e.Start(f, opt)
	require.NoError(t, err)
	return id
}

// events drains what the engine has told so far.
func events(e *play.Engine) []play.Event {
	synctest.Wait()
	var all []play.Event
	for {
		select {
		case ev := <-e.Events():
			all = append(all, ev)
		default:
			return all
		}
	}
}
