package session_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/journal"
	"linkboy/cues/session"
	"linkboy/cues/take"
)

// metronomeOut is an output that keeps nothing but how far frames were apart.
type metronomeOut struct {
	mu    sync.Mutex
	last  time.Time
	count int
	gap   time.Duration // the longest
}

func (m *metronomeOut) SendFrame([]uint16, [][]byte, bool) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	now := time.Now()
	if m.count > 0 {
		m.gap = max(m.gap, now.Sub(m.last))
	}
	m.last = now
	m.count++
	return nil
}

func (m *metronomeOut) told() (frames int, gap time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.count, m.gap
}

// tally is a journal on the disk that counts the moments it was told, by take.
type tally struct {
	*journal.Journal
	mu   sync.Mutex
	told map[int64]int
}

func (c *tally) add(id int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.told[id]++
}

func (c *tally) Roll(t take.Take, first func() take.Event) (take.Take, take.Ack) {
	t, ack := c.Journal.Roll(t, first)
	c.add(t.ID)
	return t, ack
}

func (c *tally) Event(id int64, event func() take.Event) {
	c.add(id)
	c.Journal.Event(id, event)
}

func (c *tally) Cut(t take.Take, last func() take.Event) take.Ack {
	c.add(t.ID)
	return c.Journal.Cut(t, last)
}

// busyMinutes is how long the busy set is played; LINKBOY_HOUR=1 plays the whole hour.
func busyMinutes() int {
	if os.Getenv("LINKBOY_HOUR") != "" {
		return 60
	}
	return 6
}

// A busy set in fake time: ten phones that read the state and ask for cues, an edit
// each second, light that moves, a take each minute. Memory does not grow, no frame is
// missing, and every take is whole on the disk.
func TestBusySet(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	minutes, told := busyMinutes(), map[int64]int{}
	synctest.Test(t, func(t *testing.T) {
		out := &metronomeOut{}
		book := &tally{Journal: journal.New(path, nil), told: told}
		ctx, cancel := context.WithCancel(context.Background())
		var running sync.WaitGroup
		running.Go(func() { _ = book.Run(ctx) })
		s := begin(t, testShow(t), allMove, func(cfg *session.Config) { cfg.Output, cfg.Journal = out, book })
		defer func() { s.stop(); cancel(); running.Wait() }()
		var asked atomic.Int64
		for n := range 10 {
			running.Go(func() { phoneOf(ctx, s.Session, uint64(n), &asked) })
		}
		warm, heap := minutes/3, uint64(0)
		for minute := range minutes {
			if minute == warm {
				heap = heapNow()
			}
			require.NoError(t, s.Take(roll("12", "A")), "minute %d", minute)
			s.edit(t, 40)
			require.NoError(t, s.Take(cut), "minute %d", minute)
			s.edit(t, 20)
		}
		grown := int64(heapNow()) - int64(heap)
		frames, gap := out.told()
		t.Logf("%d minutes, %d verbs, %d frames, the heap has grown by %d kB since minute %d", minutes, asked.Load(), frames, grown>>10, warm)
		require.Less(t, grown, int64(1<<20), "bytes of heap, after %d more takes", minutes-warm)
		require.GreaterOrEqual(t, frames, 44*60*minutes, "44 a second, and one at once for each verb")
		require.Less(t, gap, 24*time.Millisecond, "a frame is missing")
	})
	wholeTakes(t, path, minutes, told)
}

// allMove has every cell of every look of the show move.
func allMove(cfg *session.Config) {
	movingShow(cfg)
	for _, l := range cfg.Show.Looks {
		for i := range l.Paint {
			l.Paint[i].Moves = &cues.Motion{Kind: cues.Sine, Period: cues.Duration{Amount: 2, Unit: cues.Seconds}, Between: cues.BetweenLevels, Depth: 0.3}
		}
	}
}

// phoneOf is one phone: it reads the state as often as a page gets it, and asks for
// something every few seconds. That others were faster is no fault.
func phoneOf(ctx context.Context, s *session.Session, seed uint64, asked *atomic.Int64) {
	random := rand.New(rand.NewPCG(seed, 10))
	for ctx.Err() == nil {
		time.Sleep(400 * time.Millisecond)
		st := s.State()
		if random.IntN(20) > 0 || st.Look == "" {
			continue
		}
		asked.Add(1)
		switch random.IntN(4) {
		case 0:
			_ = s.Cue(session.CueRequest{Target: session.Target{Look: []string{"water", "tide", "warden"}[random.IntN(3)]}, Fade: "2 s"})
		case 1:
			_ = s.Hold()
			_ = s.Resume()
		case 2:
			_ = s.Overall([]string{"80%", "100%"}[random.IntN(2)])
		case 3:
			_ = s.Back()
		}
	}
}

// edit edits the show each second.
func (s *set) edit(t *testing.T, seconds int) {
	for n := range seconds {
		cfg := session.Config{Show: testShow(t)}
		allMove(&cfg)
		cfg.Show.Look(nil, "warden").Paint[0].Level = cues.Level{Kind: cues.Share, Value: 0.1 + 0.01*float64(n)}
		_, err := s.Replace(cfg.Show, true)
		require.NoError(t, err)
		time.Sleep(time.Second)
	}
}

// heapNow is what lives on the heap.
func heapNow() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// wholeTakes checks every take of a journal that another program could open now.
func wholeTakes(t *testing.T, path string, takes int, told map[int64]int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	j := journal.New(path, nil)
	done := make(chan error, 1)
	go func() { done <- j.Run(ctx) }()
	require.NoError(t, j.Wait(ctx))
	list, total, err := j.List(ctx, take.Query{Oldest: true, Limit: take.MostLimit})
	require.NoError(t, err)
	require.Equal(t, takes, total)
	for i, head := range list {
		got, err := j.Get(ctx, head.ID)
		require.NoError(t, err)
		require.Equal(t, i+1, got.Number)
		require.False(t, got.Broken)
		require.Zero(t, got.Lost)
		require.InDelta(t, 40, got.Duration().Seconds(), 0.1)
		require.Len(t, got.Events, told[got.ID], "every moment that the session told of")
		require.Equal(t, take.Roll, got.Events[0].Kind)
		require.Equal(t, take.End, got.Events[len(got.Events)-1].Kind)
		for n, e := range got.Events {
			require.Equal(t, n+1, e.N, "no moment is missing")
			require.Len(t, e.Lamps, 4)
		}
	}
	cancel()
	if err := <-done; !errors.Is(err, context.Canceled) {
		require.NoError(t, err)
	}
}
