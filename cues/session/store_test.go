package session_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

func keptIn(path string) func(*session.Config) {
	return func(c *session.Config) { c.StatePath = path }
}

func TestRestartResumesInTheLook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state.json")
	synctest.Test(t, func(t *testing.T) {
		s := begin(t, testShow(t), keptIn(path))
		require.NoError(t, s.Location("diving-stage"))
		require.NoError(t, s.Cue(s.cue(2)))
		require.NoError(t, s.Location("deep-end"))
		require.NoError(t, s.Cue(s.cue(4)))
		require.NoError(t, s.Overall("80%"))
		two := 2
		require.NoError(t, s.Standby(session.Target{Cue: &two}))
		s.pass(2 * time.Second)
		s.stop()

		text, err := os.ReadFile(path)
		require.NoError(t, err)
		var kept map[string]any
		require.NoError(t, json.Unmarshal(text, &kept))
		require.Equal(t, map[string]any{
			"version": 1.0, "location": "deep-end", "look": "night", "cue": 4.0, "standby": 2.0, "overall": 0.8,
			"locations": map[string]any{"deep-end": "night", "diving-stage": "warden"},
		}, kept)

		s = begin(t, testShow(t), keptIn(path))
		st := s.State()
		require.Equal(t, "deep-end", st.Location)
		require.Equal(t, "night", st.Look)
		require.Equal(t, 2, st.Standby.Cue)
		require.Equal(t, 0.8, st.Overall)
		require.NoError(t, s.Overall("100%"))
		s.shows("night")
		require.NotContains(t, codes(s.State().Warnings), "floor-light-off", "floor light is on, whatever the cue said")
		require.NoError(t, s.Location("diving-stage"))
		s.shows("warden")
		s.stop()

		s = begin(t, testShow(t), keptIn(path), func(c *session.Config) { c.Location = "deep-end" })
		s.shows("night")
		s.stop()
	})
}

func TestBrokenStateIsNoStop(t *testing.T) {
	for name, text := range map[string]string{
		"empty":            "",
		"cut off":          `{"version": 1, "look": "ti`,
		"not JSON":         "look: tide",
		"another version":  `{"version": 2}`,
		"overall too high": `{"version": 1, "overall": 7}`,
		"more than one":    `{"version": 1} {"version": 1}`,
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "state.json")
			require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
			play(t, func(s *set) {
				s.shows("warden")
				require.Contains(t, codes(s.State().Warnings), "state-broken")
				require.NoError(t, s.Cue(look("tide")))
				s.pass(100 * time.Millisecond)
				text, err := os.ReadFile(path)
				require.NoError(t, err)
				require.Contains(t, string(text), `"look": "tide"`)
			}, keptIn(path))
		})
	}
}

func TestStateOfAnotherShow(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state.json")
	require.NoError(t, os.WriteFile(path, []byte(`{"version": 1, "location": "attic", "look": "gone", "cue": 99, "standby": -3, "locations": {"deep-end": "gone"}}`), 0o644))
	play(t, func(s *set) {
		s.shows("warden")
		require.Subset(t, codes(s.State().Warnings), []string{"look-gone", "location-gone"})
		require.NoError(t, s.Cue(look("tide")))
		require.NotContains(t, codes(s.State().Warnings), "look-gone", "the set is as a person wants it")
		require.NotContains(t, codes(s.State().Warnings), "location-gone")
	}, keptIn(path))
}

func TestStateThatCannotBeWrittenStopsNothing(t *testing.T) {
	var log bytes.Buffer
	folder := filepath.Join(t.TempDir(), "no-such-folder")
	play(t, func(s *set) {
		for range 3 {
			require.NoError(t, s.Cue(look("tide")))
			s.shows("tide")
		}
		require.Contains(t, codes(s.State().Warnings), "state-not-written")
		require.NoError(t, os.Mkdir(folder, 0o755))
		require.NoError(t, s.Cue(look("warden")))
		s.shows("warden")
		require.NotContains(t, codes(s.State().Warnings), "state-not-written")
	}, keptIn(filepath.Join(folder, "state.json")), func(c *session.Config) { c.Logger = slog.New(slog.NewTextHandler(&log, nil)) })
	require.Equal(t, 1, strings.Count(log.String(), "level=ERROR"), "told once: %s", &log)
}

func TestOpenRefuses(t *testing.T) {
	_, _, err := session.Open(session.Config{Show: testShow(t), Location: "deep-ent"})
	r := refused(t, err, session.Unknown, cues.CodeUnknownLocation)
	require.Equal(t, `did you mean "deep-end"?`, r.Mend)
	_, _, err = session.Open(session.Config{Show: &cues.Show{}})
	require.Error(t, err)
}

func FuzzState(f *testing.F) {
	f.Add([]byte(`{"version": 1, "location": "deep-end", "look": "night", "cue": 4, "standby": 2, "overall": 0.8, "locations": {"deep-end": "night"}}`))
	f.Add([]byte(`{"version": 1, "cue": -1, "standby": 999999999}`))
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := session.ParseState(text)
		if err != nil {
			return
		}
		again, err := json.Marshal(s)
		require.NoError(t, err)
		back, err := session.ParseState(again)
		require.NoError(t, err)
		require.Equal(t, s, back)
	})
}
