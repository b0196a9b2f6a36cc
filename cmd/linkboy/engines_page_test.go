package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
func (h *hand) tap(name string) { h.tapAt(name, 0.5) }

// tapAt is a tap on a part at a share of its width, once it stays where it is and nothing
// lies over it.
func (h *hand) tapAt(name string, share float64) {
	h.t.Helper()
	type spot struct {
		X, Y int
		Free bool
	}
	var at, before spot
	outside.Await(h.t, name, func() bool {
		before = at
		require.NoError(h.t, json.Unmarshal(h.eval(h.t, fmt.Sprintf(`(() => {
			const e = %s(%q), r = e?.getBoundingClientRect();
			if (!r) return {X: 0, Y: 0, Free: false};
			const X = Math.round(r.x + %f * r.width), Y = Math.round(r.y + r.height / 2);
			return {X, Y, Free: e.contains(document.elementFromPoint(X, Y))};
		})()`, named, name, share)), &at))
		return at.Free && at == before
	})
	h.act(h.t, []any{map[string]any{
		"type": "pointer", "id": "finger", "parameters": map[string]string{"pointerType": "mouse"},
		"actions": []any{
			map[string]any{"type": "pointerMove", "duration": 0, "x": at.X, "y": at.Y},
			map[string]any{"type": "pointerDown", "button": 0}, map[string]any{"type": "pause", "duration": 60}, map[string]any{"type": "pointerUp", "button": 0},
		},
	}})
}

// click is a tap on what may have to be scrolled to.
func (h *hand) click(name string) {
	h.t.Helper()
	h.awaits(name, `part("`+name+`")`)
	h.eval(h.t, `(() => { `+named+`("`+name+`").scrollIntoView({block: "center"}); return null; })()`)
	h.tap(name)
}

// press activates what stands in a panel whose text goes on changing, and may shift it under
// a finger that waits for it to stay.
func (h *hand) press(name string) {
	h.t.Helper()
	h.awaits(name, `part("`+name+`")`)
	h.eval(h.t, `(() => { `+named+`("`+name+`").click(); return null; })()`)
}

// write puts a text into a field, as a person does who leaves it then.
func (h *hand) write(name, text string) {
	h.t.Helper()
	h.awaits(name, `part("`+name+`")`)
	h.eval(h.t, fmt.Sprintf(`(() => { const field = %s(%q); %s(field, %q); field.blur(); return null; })()`, named, name, typeInto, text))
}

func (h *hand) keep(name string) {
	h.t.Helper()
	if pictureDir() == "" {
		return
	}
	time.Sleep(time.Second) // for what is drawn later
	data := h.screenshot(h.t)
	if data == nil {
		return
	}
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
			t.Cleanup(func() {
				if t.Failed() {
					t.Logf("the page then: %s", h.eval(t, `document.body.innerText.replace(/\s+/g, " ")`))
				}
			})
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
			h.findALamp(s)
			h.paintTheVillain(s)
			h.makeATake(s)
			h.tap("place-set")
			h.awaits("the set again", `part("pad").getBoundingClientRect().height > 0 && part("pad").dataset.state === "standby"`)
			h.rehearse(s)
			h.nextPlace(s)
			require.Empty(t, h.faults())
		})
	}
}

// findALamp has a lamp show itself, and stop.
func (h *hand) findALamp(s *rehearsal) {
	h.t.Helper()
	h.tap("place-rig")
	h.click("lamp-lane-1")
	h.click("rig-show")
	outside.Await(h.t, "the lamp shows itself", func() bool { p := s.state().Pointing; return p != nil && p.Lamp == "lane-1" })
	h.awaits("and the page says so", `part("rig-show").textContent.includes("stop")`)
	h.click("rig-show")
	outside.Await(h.t, "and stops", func() bool { st := s.state(); return st.Pointing == nil && st.Fade == nil })
}

// paintTheVillain gives a group his other colour, on the rig at once and in the file after
// what changes was seen.
func (h *hand) paintTheVillain(s *rehearsal) {
	h.t.Helper()
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	file := filepath.Join(s.show, "show.yaml")
	before, err := os.ReadFile(file)
	require.NoError(h.t, err)
	was := s.wires()
	h.tap("place-set")
	h.awaits("the page knows that it is on", `document.querySelector('[data-test^="strip-warden"][data-onset="true"]')`)
	h.takeUpHisColour()
	outside.Await(h.t, "it is on the rig as it is painted", func() bool { return s.wires() != was })
	h.click("save")
	h.awaits("what changes is shown first", `part("changes").textContent.includes("warden")`)
	h.click("save")
	outside.Await(h.t, "it is in the file", func() bool {
		now, err := os.ReadFile(file)
		require.NoError(h.t, err)
		return string(now) == strings.Replace(string(before), "{on: kicker, colour: second,", "{on: kicker, colour: lead,", 1)
	})
	h.click("undo")
	outside.Await(h.t, "and back", func() bool { return s.wires() == was })
}

// takeUpHisColour has a group of the look that is on wear his other colour, live.
func (h *hand) takeUpHisColour() {
	h.t.Helper()
	h.tap("place-paint")
	h.awaits("his look", `part("paint-look").value === "warden"`)
	h.click("group-kicker")
	h.awaits("what they wear", `part("worn-0") && part("tab-cast")`)
	h.click("paint-live")
	h.awaits("live", `part("paint-live").getAttribute("aria-pressed") === "true"`)
	h.click("cast-warden-lead")
	h.awaits("in hand", `part("cast-warden-lead").getAttribute("aria-pressed") === "true"`)
}

// makeATake writes a slate, rolls and cuts.
func (h *hand) makeATake(s *rehearsal) {
	h.t.Helper()
	h.tap("place-takes")
	h.write("slate-scene", "012")
	h.write("slate-slate", "A")
	h.awaits("take 1 is next", `part("slate-number").value === "1" && part("roll").getAttribute("aria-disabled") === "false"`)
	h.click("roll")
	outside.Await(h.t, "the set is hot", func() bool { return s.taking().Hot })
	h.awaits("the page says so", `document.querySelector(".page").dataset.hot === "true"`)
	h.awaits("a second press is none that bounces", `/^0:0[1-9]$/.test(part("take-clock").textContent)`)
	h.click("roll")
	outside.Await(h.t, "it is cut and written down", func() bool { return !s.taking().Hot && len(s.takes("").Takes) == 1 })
}

// rehearse looks at a time of the sheet, with the set left as it is, and goes back.
func (h *hand) rehearse(s *rehearsal) {
	h.t.Helper()
	before := s.settled()
	h.tap("status")
	h.press("open-rehearse")
	h.tapAt("line", 0.5)
	h.awaits("the picture says that it is not the set", `part("blind") && part("rehearse").dataset.blind === "true" && /cue \d/.test(part("where").textContent)`)
	require.Equal(h.t, before, s.settled())
	h.click("rehearse-close")
	h.awaits("the strip", `part("strip") && !part("blind")`)
}

// nextPlace makes a location of this one and goes there, where the show's looks work.
func (h *hand) nextPlace(s *rehearsal) {
	h.t.Helper()
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	tide := s.settled()
	h.tap("status")
	h.press("next-place")
	h.write("next-name", "boiler-house")
	h.awaits("a good name", `part("next-make").getAttribute("aria-disabled") === "false"`)
	h.press("next-make")
	h.press("next-go")
	outside.Await(h.t, "the place is lit", func() bool { return s.state().Location == "boiler-house" })
	require.FileExists(h.t, filepath.Join(s.show, "locations", "boiler-house.yaml"))
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	require.Equal(h.t, tide, s.settled(), "the show's look works there at once")
}

// TestOtherEnginesMeasure: the other engines draw the camera's picture from the light map,
// which they read in a worker, and have practicals painted to two stops under the key.
func TestOtherEnginesMeasure(t *testing.T) {
	for name, start := range map[string]func(testing.TB) engine{"gecko": newGecko, "webkit": newWebKit} {
		t.Run(name, func(t *testing.T) {
			s := newLitSet(t, map[string]int{"gecko": 195, "webkit": 197}[name], "deep-end")
			s.do("cue", `{"look": "warden", "fade": "0 s"}`)
			h := &hand{start(t), t}
			h.open(t, s.url)
			h.awaits("the camera's picture", `part("picture").dataset.shows === "camera"`)
			h.keep(name + "-camera")
			h.takeUpHisColour()
			h.click("level-under")
			outside.Await(t, "two stops under the key, by the meter", func() bool {
				d := s.kickerUnderKey("a") - 2
				return -0.05 < d && d < 0.05
			})
			require.Empty(t, h.faults())
		})
	}
}
