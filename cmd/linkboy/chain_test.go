package main

import (
	"context"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/timecode"
)

// firsts notes when each cue's first frame goes out.
type firsts struct {
	mu sync.Mutex
	at []time.Time
}

func (f *firsts) SendFrame(_ []uint16, _ [][]byte, first bool) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if first {
		f.at = append(f.at, time.Now())
	}
	return nil
}

// times gives them so far.
func (f *firsts) times() []time.Time {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.Clone(f.at)
}

// runTidewater runs the demo show's deep end in fake time.
func runTidewater(t *testing.T, change func(*cues.Show), body func(*session.Session, *firsts)) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	synctest.Test(t, func(t *testing.T) {
		show, problems := showfile.Load(dir)
		require.False(t, problems.HasErrors())
		change(show)
		out := &firsts{}
		s, _, err := session.Open(session.Config{Show: show, Location: "deep-end", Output: out})
		require.NoError(t, err)
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		synctest.Wait()
		time.Sleep(time.Second)
		body(s, out)
		cancel()
		require.NoError(t, <-ended)
	})
}

// TestDemoChain: the chain of the deep end, to the frame: she surfaces in two bars, and he
// answers four beats after that, in eight. At 96 BPM a beat is 60/96 s = 0.625 s, by the
// definition of beats per minute: 5 s, 2.5 s and 5 s. A cue counted in by four beats begins
// 2.5 s later. Frames of the loop come every 1/44 s; an end shows with the first of
// them that is due, and what follows counts from there.
func TestDemoChain(t *testing.T) {
	runTidewater(t, func(*cues.Show) {}, func(s *session.Session, out *firsts) {
		require.Equal(t, &session.Tempo{BPM: 96, BeatsPerBar: 4, Source: "show"}, s.State().Tempo)
		given := time.Now()
		four := 4
		require.NoError(t, s.Cue(session.CueRequest{Target: session.Target{Cue: &four}, CountIn: "4 beats"}))
		before := len(out.times())
		time.Sleep(20 * time.Second)
		synctest.Wait()
		require.Len(t, out.times()[before:], 2)
		require.Equal(t, given.Add(2500*time.Millisecond), out.times()[before], "the count is over")
		frame := time.Second / 44
		require.WithinRange(t, out.times()[before+1], given.Add(10*time.Second), given.Add(10*time.Second+frame+time.Microsecond))
		st := s.State()
		require.Equal(t, "warden", st.Look)
		require.Nil(t, st.Fade)
		require.Equal(t, "follow", st.Last.Source)

		line, err := s.Timeline("")
		require.NoError(t, err)
		require.Equal(t, []float64{5000, 2500, 5000}, []float64{line.Cues[3].Fade, line.Cues[4].After, line.Cues[4].Fade})
	})
}

// TestDemoChainByClock: the same cues by the daemon's own clock of time code, with an offset,
// and then jammed to code that comes in.
func TestDemoChainByClock(t *testing.T) {
	code := func(text string) timecode.Code {
		c, err := timecode.Parse(text, timecode.Film)
		require.NoError(t, err)
		return c
	}
	change := func(show *cues.Show) {
		sheet := show.Location("deep-end").Cues
		sheet[1].Timecode, sheet[2].Timecode, sheet[3].Timecode = code("01:00:02:00"), code("01:00:06:12"), code("01:00:12:23")
	}
	runTidewater(t, change, func(s *session.Session, out *firsts) {
		on := true
		begun, before := time.Now(), len(out.times())
		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: &on, At: "01:00:00:00"}))
		time.Sleep(30 * time.Second)
		synctest.Wait()
		want := []time.Duration{2 * time.Second, 6500 * time.Millisecond, 12*time.Second + code("00:00:00:23").Time()}
		require.Len(t, out.times()[before:], 4, "three by code, and the one that follows")
		for i, at := range want {
			require.WithinDuration(t, begun.Add(at), out.times()[before+i], time.Microsecond, "cue %d, to the frame", i+2)
		}
		require.Equal(t, "follow", s.State().Last.Source)
	})
}
