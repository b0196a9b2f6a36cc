package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// kickerUnderKey is how far the kickers are under the key at a mark, in stops, by the meter.
func (s *litSet) kickerUnderKey(mark string) float64 {
	s.t.Helper()
	for _, m := range s.reading("").Marks {
		if m.Name == mark {
			return m.Under["kicker"]
		}
	}
	require.Fail(s.t, "no such mark", mark)
	return 0
}

// wires are the bytes that every wire carries, once nothing moves.
func (s *daemon) wires() string {
	s.t.Helper()
	outside.Await(s.t, "the set is still", func() bool { return s.state().Fade == nil })
	var all strings.Builder
	for _, port := range []string{"0:0:1", "0:0:2", "0:0:4", "0:0:5"} {
		all.Write(s.frames()[port])
	}
	return all.String()
}

// TestPaintTheVillain: his colour on the practicals, two stops under the key, seen live on
// the rig as it is painted, saved with what changes shown first, undone and made again. The
// meter reads what the look asks for, and every other line of the file stays.
func TestPaintTheVillain(t *testing.T) {
	s := newLitSet(t, 217, "deep-end")
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	p := openPhone(t, browser(t), s.url, planOnly)
	file := filepath.Join(s.stage.Plan.Show.Dir, "show.yaml")
	before, err := os.ReadFile(file)
	require.NoError(t, err)
	was := s.wires()

	p.tap("place-paint")
	p.await("his look", `part("paint-look").value === "warden"`)
	p.click("group-kicker")
	p.await("what they wear", `part("worn-0") && part("tab-cast")`)
	p.click("paint-live")
	p.await("live", `part("paint-live").getAttribute("aria-pressed") === "true"`)
	p.click("cast-warden-lead")
	p.await("in hand", `part("cast-warden-lead").getAttribute("aria-pressed") === "true"`)
	outside.Await(t, "it is on the rig as it is painted", func() bool { return s.wires() != was })
	p.click("level-under")
	outside.Await(t, "two stops under the key, by the meter", func() bool {
		d := s.kickerUnderKey("a") - 2
		return -0.05 < d && d < 0.05
	})
	p.keep("paint-villain.png")
	painted := s.wires()

	p.click("save")
	p.await("what changes is shown first", `text("changes").includes("warden") && text("changes").includes("show.yaml")`)
	unsaved, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(before), string(unsaved), "nothing is written before that was seen")
	p.click("save")
	outside.Await(t, "it is in the file", func() bool {
		now, err := os.ReadFile(file)
		require.NoError(t, err)
		return string(now) != string(before)
	})
	now, err := os.ReadFile(file)
	require.NoError(t, err)
	wanted := strings.Replace(string(before), "{on: kicker, colour: second, level: 45%}", "{on: kicker, colour: lead, level: -2 stops under key at a}", 1)
	require.Equal(t, wanted, string(now), "one line, and of it two values")
	p.await("nothing is unsaved", `part("save").getAttribute("aria-disabled") === "true"`)
	require.Equal(t, painted, s.wires(), "what was on stays on")
	s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
	outside.Await(t, "another look is on", func() bool { return s.wires() != painted })
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	outside.Await(t, "and comes back by its cue", func() bool { return s.wires() == painted })

	p.click("undo")
	outside.Await(t, "the file is as before", func() bool {
		now, err := os.ReadFile(file)
		require.NoError(t, err)
		return string(now) == string(before)
	})
	outside.Await(t, "and the set", func() bool { return s.wires() == was })
	p.click("redo")
	outside.Await(t, "and again", func() bool { return s.wires() == painted })
}
