package main

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// hand works the page in any engine.
type hand struct {
	engine
	t testing.TB
}

const named = `((name) => document.querySelector('[data-test="' + name + '"]'))`

func (h *hand) awaits(what, condition string) {
	h.t.Helper()
	outside.Await(h.t, what, func() bool {
		return string(h.eval(h.t, `(() => { const part = `+named+`; try { return Boolean(`+condition+`); } catch (e) { return false; } })()`)) == "true"
	})
}

// tap puts a pointer on the middle of a part and lifts it.
func (h *hand) tap(name string) {
	h.t.Helper()
	h.awaits(name, `part("`+name+`")`)
	var at [2]int
	require.NoError(h.t, json.Unmarshal(h.eval(h.t, `(() => { const r = `+named+`("`+name+`").getBoundingClientRect(); return [Math.round(r.x + r.width / 2), Math.round(r.y + r.height / 2)]; })()`), &at))
	h.act(h.t, []any{map[string]any{
		"type": "pointer", "id": "finger", "parameters": map[string]string{"pointerType": "mouse"},
		"actions": []any{
			map[string]any{"type": "pointerMove", "duration": 0, "x": at[0], "y": at[1]},
			map[string]any{"type": "pointerDown", "button": 0}, map[string]any{"type": "pause", "duration": 60}, map[string]any{"type": "pointerUp", "button": 0},
		},
	}})
}

func (h *hand) keep(name string) {
	h.t.Helper()
	if pictureDir() == "" {
		return
	}
	time.Sleep(time.Second) // for what is drawn later
	data := h.screenshot(h.t)
	require.Greater(h.t, len(data), 2000)
	savePicture(h.t, name+".png", data)
}

// TestOtherEngines: the page works in the other two engines, by what the node receives.
func TestOtherEngines(t *testing.T) {
	for name, start := range map[string]func(testing.TB) engine{"gecko": newGecko, "webkit": newWebKit} {
		t.Run(name, func(t *testing.T) {
			s := newStage(t, map[string]int{"gecko": 211, "webkit": 215}[name])
			s.joined()
			h := &hand{start(t), t}
			h.open(t, s.url)
			h.awaits("the pad stands by", `part("pad").dataset.state === "standby"`)
			h.keep(name + "-set")

			before := s.settled()
			s.do("standby", `{"cue": 2}`)
			h.awaits("the villain stands by", `part("pad-look").textContent === "warden"`)
			h.tap("pad")
			outside.Await(t, "the flip is on", func() bool { return s.state().Look == "warden" })
			require.NotEqual(t, before, s.settled())

			s.do("cue", `{"look": "tide", "fade": "60 s"}`)
			h.awaits("it runs", `part("pad").dataset.state === "running"`)
			h.tap("pad")
			outside.Await(t, "a tap holds it", func() bool { return s.state().Held })
			h.awaits("and the pad says so", `part("pad").dataset.state === "held"`)
			h.tap("snap")
			outside.Await(t, "snap ends it", func() bool { st := s.state(); return st.Fade == nil || !st.Held })

			dark := s.settled()
			h.tap("worklight")
			h.awaits("work light", `part("worklight").dataset.on === "true"`)
			require.NotEqual(t, dark, s.settled())
			h.tap("worklight")
			h.awaits("no work light", `part("worklight").dataset.on !== "true"`)

			for _, place := range []string{"paint", "rig", "takes"} {
				h.tap("place-" + place)
				h.awaits(place, fmt.Sprintf(`document.querySelector('[data-test="room-%s"] > :not(.room-coming)')`, place))
				h.keep(name + "-" + place)
			}
			h.tap("place-set")
			h.awaits("the set again", `part("pad").getBoundingClientRect().height > 0 && part("pad").dataset.state === "standby"`)
			require.Empty(t, h.faults())
		})
	}
}
