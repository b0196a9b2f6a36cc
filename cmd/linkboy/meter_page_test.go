package main

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/meter"
)

// reading is what /api/meter says.
func (s *litSet) reading(query string) *meter.Report {
	s.t.Helper()
	var r meter.Report
	require.NoError(s.t, json.Unmarshal(s.get("/api/meter"+query), &r))
	return &r
}

// keep puts a picture of the page into the folder that LINKBOY_PICTURES names.
func (p *phone) keep(name string) {
	p.t.Helper()
	if pictureDir() == "" {
		return
	}
	shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	savePicture(p.t, name, shot)
}

// both takes pictures of a view on a phone and on a desk.
func (p *phone) both(name string) {
	p.t.Helper()
	if pictureDir() == "" {
		return
	}
	for _, size := range [][3]int64{{1440, 900, 1}, {360, 740, 2}} {
		p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2])), chromedp.EmulateTouch))
		p.frames(20)
		p.keep(fmt.Sprintf("%s-%d.png", name, size[0]))
	}
}

func TestMeterOnThePage(t *testing.T) {
	s := newLitSet(t, 149, "deep-end")
	p := openPhone(t, browser(t), s.url, planOnly)
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)

	t.Run("one touch shows what is on", func(t *testing.T) {
		p.t = t
		p.await("the plan", `part("open-meter")`)
		p.tap("open-meter")
		p.await("a reading of the look", `part("meter-report")?.dataset.look === "warden"`)
		now := s.reading("")
		require.Equal(t, "warden", now.Look)
		require.Equal(t, "wide", now.Setup)
		mark := now.Marks[0]
		require.InEpsilon(t, mark.Lux.Total, ask[float64](p, `return Number(part("mark-a").dataset.lux);`), 0.001)
		require.Contains(t, ask[string](p, `return text("group-back");`), fmt.Sprintf("%.1f", math.Abs(*mark.Groups[indexOf(mark.Groups, "back")].Under)))
		require.Contains(t, ask[string](p, `return text("meter-floor");`), "Local codes come first")
		p.await("how smooth fades are", `text("meter-shutter") !== ""`)
		p.both("meter-warden")
		for _, part := range []string{"meter-lamps", "meter-floor", "meter-shutter"} {
			if pictureDir() != "" {
				ask[any](p, `part("`+part+`").scrollIntoView(); return null;`)
				p.keep("meter-" + part + "-360.png")
			}
		}
	})

	t.Run("it follows the bytes", func(t *testing.T) {
		p.t = t
		before := s.reading("").Marks[0].Lux.Total
		s.do("overall", `{"level": "50%"}`)
		p.await("half the light", fmt.Sprintf(`Math.abs(Number(part("mark-a").dataset.lux) / %g - 0.5) < 0.02`, before))
		s.do("overall", `{"level": "100%"}`)
		s.do("cue", `{"look": "tide", "fade": "0 s"}`)
		p.await("another look", `part("meter-report")?.dataset.look === "tide"`)
	})

	t.Run("it follows the set-up", func(t *testing.T) {
		p.t = t
		key := func(r *meter.Report) float64 { return r.Marks[0].Lux.ByGroup["key"] }
		before := key(s.reading(""))
		s.do("setup", `{"setup": "reverse", "fade": "0 s"}`)
		p.await("the other set-up", `part("meter-report")?.dataset.setup === "reverse"`)
		require.InDelta(t, 1.6, stopsOf(before, key(s.reading(""))), 0.02, "the key is trimmed by 1.6 stops")
		require.Equal(t, "reverse", s.state().Setup)
		s.do("setup", `{}`)
		p.await("the first again", `part("meter-report")?.dataset.setup === "wide"`)
	})

	t.Run("closed, nothing is read", func(t *testing.T) {
		p.t = t
		p.tap("close")
		p.await("the sheet is gone", `!part("meter")`)
	})

	t.Run("set-ups are among the details too", func(t *testing.T) {
		p.t = t
		ask[any](p, `part("status").click(); return null;`)
		p.await("the details", `part("set-up-reverse")`)
		require.Contains(t, ask[string](p, `return text("set-up-reverse");`), "key −1.6 stops")
		ask[any](p, `part("set-up-reverse").click(); return null;`)
		outside.Await(t, "the set is set up for it", func() bool { return s.state().Setup == "reverse" })
	})
}

// stopsOf is how many stops a is over b.
func stopsOf(a, b float64) float64 { return math.Log2(a / b) }

func indexOf(groups []meter.GroupReport, name string) int {
	return slices.IndexFunc(groups, func(g meter.GroupReport) bool { return g.Name == name })
}

// Looking through another camera changes nothing on the set; setting up for it does, and
// the page says which is which.
func TestSetUpOnThePage(t *testing.T) {
	s := newLitSet(t, 153, "deep-end")
	p := openCamera(t, s)
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	outside.Await(t, "the look", func() bool { return s.state().Look == "warden" })
	before := s.reading("").Marks[0].Lux.ByGroup["key"]

	p.tap("setup-reverse")
	p.await("it says that only the picture is from there", `text("shooting").includes("Only the picture")`)
	require.Contains(t, ask[string](p, `return text("set-up");`), "key −1.6 stops")
	require.Equal(t, "wide", s.state().Setup)
	require.InEpsilon(t, before, s.reading("").Marks[0].Lux.ByGroup["key"], 0.001)
	p.both("setup-view")

	p.tap("set-up")
	outside.Await(t, "the set is set up for it", func() bool { st := s.state(); return st.Setup == "reverse" && st.Fade == nil })
	p.await("there is no more to say", `!part("shooting") && part("picture").dataset.shows === "camera" && part("setup-reverse").getAttribute("aria-pressed") === "true"`)
	require.InDelta(t, 1.6, stopsOf(before, s.reading("").Marks[0].Lux.ByGroup["key"]), 0.02)
	p.both("setup-done")
}

// While light is being computed there is nothing to read, and the sheet says how far it is.
func TestMeterWaitsForLight(t *testing.T) {
	s := newStage(t, 155, "--light", "computed")
	p := openPhone(t, browser(t), s.url, planOnly)
	p.await("the plan", `part("open-meter")`)
	p.tap("open-meter")
	p.await("how far it is", `part("meter-waiting") && document.querySelectorAll('.meter-steps [data-step="now"]').length === 1`)
	p.both("meter-waiting")
	s.awaitBounced()
	p.await("the readings by themselves", `part("meter-report")`)
}
