package session_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

func codes(warnings []session.Warning) []string {
	var out []string
	for _, w := range warnings {
		out = append(out, w.Code)
	}
	return out
}

func containsCode(warnings []session.Warning, code string) bool {
	return slices.Contains(codes(warnings), code)
}

// synctestPlayWith is play on a show that is changed first.
func synctestPlayWith(t *testing.T, change func(*cues.Show), body func(*set)) {
	synctest.Test(t, func(t *testing.T) {
		show := testShow(t)
		change(show)
		s := begin(t, show)
		defer s.stop()
		body(s)
	})
}

// keys gives the keys of a JSON object, sorted.
func keys(t *testing.T, v any) []string {
	t.Helper()
	text, err := json.Marshal(v)
	require.NoError(t, err)
	var m map[string]any
	require.NoError(t, json.Unmarshal(text, &m))
	return slices.Sorted(maps.Keys(m))
}

// The names of the fields are a contract with the page and with scripts.
func TestStateJSON(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		st := s.State()
		require.Equal(t, []string{"as_shot", "can_back", "counting", "dry", "edits", "fade", "files", "follow", "held", "hot", "killed", "last", "last_take", "light", "location", "look", "moving", "next_take", "nodes",
			"output", "overall", "pointing", "revision", "setup", "show", "standby", "take", "tempo", "timecode", "title", "trying", "waiting", "warnings", "worklight"}, keys(t, st))
		require.Equal(t, []string{"from", "progress", "remaining_ms", "to", "total_ms"}, keys(t, st.Fade))
		require.Equal(t, []string{"cue", "fade_ms", "look", "note"}, keys(t, st.Standby))
		require.Equal(t, []string{"cue", "in_ms"}, keys(t, st.Follow))
		require.Equal(t, []string{"first_us_p99", "frames", "late_us_max", "late_us_p50", "late_us_p99", "rate",
			"send_errors", "skipped", "skipped_minute", "universes"}, keys(t, st.Output))
		require.Equal(t, []string{"code", "mend", "message", "where"}, keys(t, st.Warnings[0]))
		require.Equal(t, []string{"ip", "last_seen_ms", "lost", "name", "ports", "software"}, keys(t, session.Node{}))
		text, err := json.Marshal(st)
		require.NoError(t, err)
		require.Contains(t, string(text), `"nodes":[]`)
		require.Equal(t, 44, st.Output.Rate)
		require.Equal(t, 1, st.Output.Universes)
		require.Positive(t, st.Output.Frames)
	})
}

func TestPlan(t *testing.T) {
	play(t, func(s *set) {
		p := s.Plan()
		require.Equal(t, []string{"balance", "bounds", "cues", "groups", "lamps", "location", "locations", "looks", "marks", "revision", "set", "setups", "show"}, keys(t, p))
		require.Equal(t, []string{"address", "aim", "along", "cells", "circuit", "class", "first_cell", "footprint", "id", "kit", "length_m", "mode", "place", "type", "watts", "width_m"}, keys(t, p.Lamps[0]))
		require.Equal(t, []string{"after_ms", "cue", "dark", "delay_ms", "fade_ms", "fade_text", "look", "note", "path", "timecode"}, keys(t, p.Cues[0]))
		require.Equal(t, []string{"lead", "name", "note", "second", "wears"}, keys(t, p.Looks[0]))
		require.Equal(t, []string{"most_lumens", "place"}, keys(t, p.Lamps[0].Cells[0]))
		require.Equal(t, s.State().Revision, p.Revision)
		require.Equal(t, []string{"deep-end", "diving-stage"}, p.Locations)
		require.Equal(t, session.Bounds{Min: [2]float64{-0.5, -4.5}, Max: [2]float64{14, 8.5}}, p.Bounds)
		require.Equal(t, "0:0:1.001", p.Lamps[0].Address)
		require.Equal(t, 1, p.Lamps[1].FirstCell)
		require.Len(t, p.Lamps[1].Cells, 2)
		require.Equal(t, session.PlanGroup{Name: "edge", Cells: []int{1, 2, 3, 4}}, p.Groups[1])
		require.Equal(t, "warden", p.Looks[0].Wears)
		require.Equal(t, "tide", p.Looks[1].Wears)
		require.NotNil(t, p.Looks[1].Lead)
		require.Nil(t, p.Looks[2].Lead)
		require.EqualValues(t, 1500, *p.Cues[2].AfterMS)
		require.Nil(t, p.Cues[0].AfterMS)
		require.Equal(t, "4 s", p.Cues[1].FadeText)
		require.Equal(t, "short", p.Cues[1].Path)
		// 4300 K on the Planckian locus: between illuminant A (0.4476, 0.4074) and D65's 0.3127.
		require.InDelta(t, 0.367, p.Balance[0], 0.003)
		require.NoError(t, s.Location("diving-stage"))
		require.Equal(t, p.Revision+1, s.Plan().Revision)
		require.Equal(t, "diving-stage", s.Plan().Location)
	})
}

func TestCellsAreTheWire(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		got := s.Cells(make([]colour.XYZ, 100))
		require.Len(t, got, 6)
		want := make([]colour.XYZ, 6)
		s.place().Light(s.out.last().bytes, want)
		require.Equal(t, want, got)
		settled, err := s.LookCells("warden")
		require.NoError(t, err)
		require.Equal(t, want, settled)
		refused(t, func() error { _, err := s.LookCells("wardn"); return err }(), session.Unknown, cues.CodeUnknownLook)
		addresses, slots := s.Frames()
		require.Equal(t, []uint16{1}, addresses)
		require.Equal(t, s.out.last().bytes, slots)
	})
}

func TestCellsAreDarkBeforeTheFirstFrame(t *testing.T) {
	s, _, err := session.Open(session.Config{Show: testShow(t)})
	require.NoError(t, err)
	require.Equal(t, make([]colour.XYZ, 6), s.Cells(nil))
	require.Equal(t, "warden", s.State().Look)
}

func TestLocation(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("night")))
		s.pass(time.Second + time.Millisecond)
		before := s.out.count()
		left := s.place()
		require.NoError(t, s.Location("diving-stage"))
		frames := s.out.from(before)
		require.Len(t, frames, 2)
		require.Equal(t, left.Frame(left.Dark(), false), frames[0].bytes, "the place that is left goes dark")
		require.True(t, frames[1].first)
		require.Equal(t, []uint16{2}, s.out.addresses())
		s.shows("tide")
		require.Equal(t, 2, s.State().Standby.Cue)
		require.Nil(t, s.State().CanBack)
		r := refused(t, s.Location("diving-stag"), session.Unknown, cues.CodeUnknownLocation)
		require.Equal(t, `did you mean "diving-stage"?`, r.Mend)
		require.NoError(t, s.WorkLight(nil))
		require.NoError(t, s.Location("deep-end"))
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes, "work light stays")
		require.Equal(t, "night", s.State().Look)
		require.NoError(t, s.WorkLight(nil))
		s.pass(1100 * time.Millisecond)
		s.shows("night")
	})
}

func TestSubscribe(t *testing.T) {
	play(t, func(s *set) {
		one, cancelOne := s.Subscribe()
		two, cancelTwo := s.Subscribe()
		defer cancelTwo()
		drain := func(ch <-chan struct{}) bool {
			synctest.Wait()
			select {
			case <-ch:
				return true
			default:
				return false
			}
		}
		require.False(t, drain(one))
		require.NoError(t, s.Cue(s.cue(2)))
		require.True(t, drain(one))
		require.True(t, drain(two))
		s.pass(3 * time.Second)
		require.False(t, drain(two), "nobody is woken by the passing of time")
		s.pass(1100 * time.Millisecond)
		require.True(t, drain(two), "the end of a fade is a change")
		cancelOne()
		cancelOne()
		drain(one)
		for range 3 { // wakes that nobody reads fall together
			require.NoError(t, s.Overall("50%"))
		}
		require.True(t, drain(two))
		require.False(t, drain(two))
		require.False(t, drain(one), "who has left is not woken")
		refused(t, s.Cue(look("nobody")), session.Unknown, cues.CodeUnknownLook)
		require.False(t, drain(two), "a refusal is no change")
	})
}

// Everybody may do anything at any time; afterwards the set still obeys.
func TestConcurrentVerbs(t *testing.T) {
	play(t, func(s *set) {
		var wait sync.WaitGroup
		for worker := range 6 {
			wait.Go(func() {
				for i := range 40 {
					half := 0.5
					verbs := []func() error{
						func() error { return s.Cue(look([]string{"warden", "tide", "night"}[i%3])) },
						func() error { return s.Cue(s.cue(i%4 + 1)) },
						func() error { r := s.cue(2); r.At = &half; return s.Cue(r) },
						s.Hold, s.Resume, s.Snap, s.Back,
						func() error { return s.Ride(half) },
						func() error { return s.Overall(fmt.Sprintf("%d%%", i)) },
						func() error { return s.WorkLight(nil) },
						func() error { return s.Kill(i%2 == 0) },
						func() error { return s.Dry(i%2 == 0) },
						func() error { return s.Location([]string{"deep-end", "diving-stage"}[i%2]) },
						func() error { return s.Standby(session.Target{Look: "tide"}) },
					}
					_ = verbs[(i*7+worker*3)%len(verbs)]()
					s.State()
					s.Plan()
					s.Cells(nil)
					s.Frames()
					time.Sleep(time.Duration(worker+1) * time.Millisecond)
				}
			})
		}
		wait.Wait()
		require.NoError(t, s.Dry(false))
		require.NoError(t, s.Location("deep-end"))
		require.NoError(t, s.Overall("100%"))
		require.NoError(t, s.Cue(look("tide")))
		s.pass(2 * time.Second)
		s.shows("tide")
	})
}

// What was asked before Run is done when it starts.
func TestVerbsBeforeRun(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		show := testShow(t)
		out := &recorder{}
		s, _, err := session.Open(session.Config{Show: show, Output: out})
		require.NoError(t, err)
		require.NoError(t, s.Cue(look("tide")))
		ctx, cancel := context.WithCancel(context.Background())
		done := make(chan error, 1)
		go func() { done <- s.Run(ctx) }()
		time.Sleep(time.Second)
		running := &set{Session: s, t: t, out: out, show: show}
		running.shows("tide")
		cancel()
		require.NoError(t, <-done)
		refused(t, s.Cue(look("warden")), session.Conflict, "stopped")
	})
}
