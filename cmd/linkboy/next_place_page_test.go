package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// The next place is made from the one that is lit, and its looks work as soon as it is
// gone to: the same lamps stand in the same groups.
func TestNextPlaceOnThePage(t *testing.T) {
	s := newStage(t, 71)
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	tide := s.settled()
	p := openPhone(t, browser(t), s.url, planOnly)
	ask[any](p, `part("status").click(); return null;`)
	p.await("the details", `part("details")`)
	ask[any](p, `part("next-place").click(); return null;`)
	p.await("the form", `part("next-name")`)
	fill := func(part, text string) {
		ask[any](p, `const box = part("`+part+`");
			box.value = "`+text+`"; box.dispatchEvent(new Event("input", { bubbles: true })); return null;`)
	}
	fill("next-name", "deep-end")
	p.await("a name that is taken cannot be made", `part("next-make").getAttribute("aria-disabled") === "true"`)
	fill("next-name", "boiler-house")
	p.await("a good name can", `part("next-make").getAttribute("aria-disabled") === "false"`)
	ask[any](p, `part("next-name").scrollIntoView({ block: "start" }); return null;`)
	p.keep("next-place.png")
	ask[any](p, `part("next-make").click(); return null;`)
	p.await("it is made, or why not", `part("next-made") || text("next-refused")`)
	require.Empty(t, ask[string](p, `return text("next-refused");`))
	require.Equal(t, tide, s.settled(), "the set is as it was")
	made, err := os.ReadFile(filepath.Join(s.show, "locations", "boiler-house.yaml"))
	require.NoError(t, err)
	require.Contains(t, string(made), "lane-1:")
	require.NotContains(t, string(made), "far wall", "walls stay behind")

	ask[any](p, `part("next-go").click(); return null;`)
	outside.Await(t, "the place is lit", func() bool { return s.state().Location == "boiler-house" })
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	require.Equal(t, tide, s.settled(), "the show's look works there at once")
}
