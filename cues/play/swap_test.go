package play_test

import (
	"math/rand/v2"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

const swapOver = 300 * time.Millisecond

// lights is a random layout of one to three of four universes: lights of 8 bits
// in even ones, of 16 bits in odd ones, some slots left free, and floor light.
func lights(r *rand.Rand) *track.Layout {
	l := &track.Layout{Curves: []track.Curve{{}}}
	for a := range uint16(4) {
		if r.IntN(3) == 0 && len(l.Universes)+int(4-a) > 1 {
			continue
		}
		size := 1 + int(a)%2
		n := 1 + r.IntN(6)
		universe := int32(len(l.Universes))
		l.Universes = append(l.Universes, track.Universe{Address: a, Base: make([]byte, 12*size)})
		for i := range n {
			l.Slots = append(l.Slots, track.Slot{Universe: universe, Offset: int32(size * (i + r.IntN(12-n+1))), Wide: size == 2})
			if k := len(l.Slots) - 1; i > 0 && l.Slots[k].Offset <= l.Slots[k-1].Offset {
				l.Slots = l.Slots[:k]
			}
		}
	}
	for i := range l.Slots {
		if r.IntN(4) == 0 {
			c := track.FloorCell{First: int32(i), N: 1, Least: r.Float32()}
			c.Weight[0], c.Drive[0] = 1, 1
			l.Floor = append(l.Floor, c)
		}
	}
	return l
}

// values reads what a network holds as shares: bytes in even universes, pairs in
// odd ones.
func (w *wire) values() map[[2]int]float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	all := map[[2]int]float64{}
	for a, b := range w.holds {
		size := 1 + int(a)%2
		for k := 0; k < len(b); k += size {
			v := float64(b[k]) / 255
			if size == 2 {
				v = float64(int(b[k])<<8|int(b[k+1])) / 65535
			}
			all[[2]int{int(a), k}] = v
		}
	}
	return all
}

// Whatever replaces what is on, while fades run and other replacements are under
// way, no value on the network moves further in a frame than a way from dark to
// full within the time does; and in the end it is what the layout says, dark
// where there is nothing any more.
func TestNoReplaceJumps(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := rand.New(rand.NewPCG(51, 52))
		w := &wire{holds: map[uint16][]byte{}}
		e := play.New(play.Config{Output: w})
		e.Begin(time.Now())
		l := lights(r)
		require.NoError(t, e.Load(l, make(track.Still, len(l.Slots))))
		e.Turn(time.Now())
		moved, last, lastAt := 0, w.values(), time.Now()
		frame := func() {
			time.Sleep(time.Until(e.Turn(time.Now())))
			e.Turn(time.Now())
			// What a fade adds: it goes from dark to full in a second at its fastest.
			most := float64(time.Since(lastAt)) * (1/float64(swapOver) + 1/float64(time.Second))
			now := w.values()
			for at, v := range now {
				if v != last[at] {
					moved++
				}
				require.LessOrEqual(t, max(v-last[at], last[at]-v), most+1.01/255, "slot %v", at)
			}
			last, lastAt = now, time.Now()
		}
		for range 300 {
			l = lights(r)
			s := make(track.Still, len(l.Slots))
			for i := range s {
				s[i] = r.Float32()
			}
			require.NoError(t, e.Replace(l, s, nil, swapOver))
			if r.IntN(2) == 0 {
				f := &track.Fade{From: s, To: make(track.Still, len(s)), Total: time.Second}
				for i := range s {
					f.To[i] = r.Float32()
					f.Moves = append(f.Moves, track.Move{First: int32(i), N: 1, Length: 1})
				}
				start(t, e, f, play.StartOptions{At: r.Float64(), Hold: r.IntN(2) == 0})
			}
			for range r.IntN(20) {
				frame()
			}
		}
		require.Greater(t, moved, 10000)
		for range 60 {
			frame()
		}
		require.NoError(t, e.Snap())
		frame()
		var s play.Snapshot
		e.Snapshot(&s)
		held := map[[2]int]float64{}
		for i, a := range s.Addresses {
			for k, b := range s.Slots[i] {
				held[[2]int{int(a), k}] = float64(b)
			}
		}
		for a, b := range w.holds {
			for k, v := range b {
				require.Equal(t, held[[2]int{int(a), k}], float64(v), "universe %d slot %d", a, k)
			}
		}
	})
}

func TestReplaceGoesEvenly(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		before := len(r.all())
		require.NoError(t, e.Replace(flat(1), all(1, 1), nil, swapOver))
		time.Sleep(swapOver + 50*time.Millisecond)
		first, last := r.all()[before], 0.0
		require.True(t, first.first, "the output is told of another layout")
		inside := 0
		for _, f := range r.all()[before:] {
			require.GreaterOrEqual(t, f.values[0], last)
			if last = f.values[0]; last > 0 && last < 1 {
				inside++
			}
		}
		require.InDelta(t, 13, inside, 1, "300 ms at 44 frames a second")
		require.EqualValues(t, 1, last)
	})
}

// A person who wants something at once gets it at once.
func TestWhatEndsAReplaceAtOnce(t *testing.T) {
	for name, c := range map[string]struct {
		ask  func(*play.Engine) error
		want float64
	}{
		"kill": {func(e *play.Engine) error { return e.Kill(true) }, 0},
		"snap": {func(e *play.Engine) error { return e.Snap() }, 1},
		"cue in no time": {func(e *play.Engine) error {
			_, err := e.Start(&track.Fade{From: all(1, 1), To: all(1, 0.5)}, play.StartOptions{})
			return err
		}, 0.5},
	} {
		t.Run(name, func(t *testing.T) {
			bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
				require.NoError(t, e.Replace(flat(1), all(1, 1), nil, swapOver))
				time.Sleep(50 * time.Millisecond)
				require.NoError(t, c.ask(e))
				time.Sleep(25 * time.Millisecond)
				require.InDelta(t, c.want, r.last().values[0], step)
			})
		})
	}
}

// A parameter has no way between two values, and neither has what a lamp wants
// where nobody controls it.
func TestParametersDoNotPassThroughWhatIsBetween(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{holds: map[uint16][]byte{}}
		e := play.New(play.Config{Output: w})
		go func() { _ = e.Run(t.Context()) }()
		require.NoError(t, e.Load(at(1, 2), track.Still{1, 1, 0.25}))
		now(t, e)
		next := at(1, 2)
		next.Universes[0].Base[3] = 77
		require.NoError(t, e.Replace(next, track.Still{0, 0, 0.75}, nil, swapOver))
		time.Sleep(30 * time.Millisecond)
		got := w.held(1)
		require.Greater(t, got[0], byte(200))
		require.Equal(t, []byte{191, 77}, got[2:4])
		time.Sleep(swapOver)
		require.Equal(t, []byte{0, 0, 191, 77}, w.held(1))

		gone := at(1, 2)
		gone.Slots = gone.Slots[:1]
		require.NoError(t, e.Replace(gone, track.Still{0}, nil, swapOver))
		time.Sleep(swapOver - 30*time.Millisecond)
		require.Equal(t, []byte{191, 77}, w.held(1)[2:4], "what a lamp needs to give light stays until it is out")
		time.Sleep(60 * time.Millisecond)
		require.Equal(t, []byte{0, 0, 0, 0}, w.held(1))
	})
}

// What a kill covers is replaced in the dark.
func TestReplaceUnderAKillStaysDark(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Kill(true))
		before := len(r.all())
		require.NoError(t, e.Replace(flat(1), all(1, 1), nil, swapOver))
		time.Sleep(swapOver / 2)
		for _, f := range r.all()[before:] {
			require.Zero(t, f.values[0])
		}
		require.NoError(t, e.Kill(false))
		time.Sleep(25 * time.Millisecond)
		require.EqualValues(t, 1, r.last().values[0])
	})
}

// A universe that goes and comes back meanwhile goes on from where it is.
func TestReplaceTakesUpWhatIsBeingDarkened(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &wire{holds: map[uint16][]byte{}}
		e := play.New(play.Config{Output: w})
		go func() { _ = e.Run(t.Context()) }()
		require.NoError(t, e.Load(at(1, 2), track.Still{1, 1, 0.5}))
		now(t, e)
		require.NoError(t, e.Replace(at(2, 2), track.Still{1, 1, 0.5}, nil, swapOver))
		time.Sleep(swapOver / 2)
		half := w.held(1)[0]
		require.InDelta(t, 128, half, 25)
		require.NoError(t, e.Replace(at(1, 2), track.Still{1, 1, 0.5}, nil, swapOver))
		time.Sleep(25 * time.Millisecond)
		require.GreaterOrEqual(t, w.held(1)[0], half)
		time.Sleep(2 * swapOver)
		require.Equal(t, byte(255), w.held(1)[0])
		require.Equal(t, byte(0), w.held(2)[0])
	})
}
