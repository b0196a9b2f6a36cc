package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/take"
)

// goToTakes opens the takes on the page.
func goToTakes(p *phone) {
	p.t.Helper()
	p.tap("place-takes")
	p.await("the takes", `part("board") || part("open-take")`)
}

// key presses a key of the keyboard, or of a clicker.
func (p *phone) key(key string) {
	p.t.Helper()
	ask[any](p, fmt.Sprintf(`dispatchEvent(new KeyboardEvent("keydown", {key: %[1]q, cancelable: true})); dispatchEvent(new KeyboardEvent("keyup", {key: %[1]q})); return null;`, key))
}

// click is a tap on what may have to be scrolled to.
func (p *phone) click(name string) {
	p.t.Helper()
	p.await(name, `part("`+name+`")`)
	ask[any](p, `part("`+name+`").scrollIntoView({block: "center"}); part("`+name+`").click(); return null;`)
}

// typeInto puts a text into a field, as a person does.
const typeInto = `((field, text) => {
	field.focus();
	Object.getOwnPropertyDescriptor(Object.getPrototypeOf(field), "value").set.call(field, text);
	field.dispatchEvent(new Event("input", {bubbles: true}));
	field.dispatchEvent(new Event("change", {bubbles: true}));
})`

// write puts a text into a field, as a person does who leaves it then.
func (p *phone) write(name, text string) {
	p.t.Helper()
	p.await(name, `part("`+name+`")`)
	ask[any](p, fmt.Sprintf(typeInto+`(part(%q), %q); return null;`, name, text))
	p.frames(2)
	ask[any](p, `part("`+name+`")?.blur(); return null;`)
}

// taking is what the state says of takes.
func (s *rehearsal) taking() (st struct {
	Hot    bool
	Fade   *struct{}
	AsShot *struct{ Event int } `json:"as_shot"`
},
) {
	s.t.Helper()
	s.daemon.get("/api/state", &st)
	return st
}

// takes gives the takes that are written down.
func (s *rehearsal) takes(query string) (list struct {
	Takes []take.Take
	Total int
},
) {
	s.t.Helper()
	s.daemon.get("/api/takes?"+query, &list)
	return list
}

func TestTakesOnThePage(t *testing.T) {
	s := newStage(t, 171)
	p := openPhone(t, browser(t), s.url, planOnly)
	var atRoll []byte

	t.Run("without a slate the corner leads to it", func(t *testing.T) {
		p.t = t
		p.tap("take")
		p.await("the slate", `part("board")`)
		require.False(t, s.taking().Hot)
		require.Equal(t, "true", ask[string](p, `return part("roll").getAttribute("aria-disabled");`))
		p.write("slate-scene", "012")
		p.write("slate-slate", "A")
		p.await("take 1 is next", `part("slate-number").value === "1" && part("roll").getAttribute("aria-disabled") === "false"`)
	})

	t.Run("roll makes the set hot, flip and cut are written down", func(t *testing.T) {
		p.t = t
		atRoll = s.settled()
		p.click("roll")
		outside.Await(t, "the set is hot", func() bool { return s.taking().Hot })
		p.await("the whole page says so", `document.querySelector(".page").dataset.hot === "true" && part("hot-note") && part("status-hot")`)
		p.await("it is on the disk, and the clock runs", `part("newest").dataset.kept === "true" && /^\d+:\d\d$/.test(text("take-clock"))`)
		p.await("it was said", `text("said").includes("012 A 1 rolls")`)
		p.tap("place-set")
		p.await("the set", `!part("takes")`)
		s.do("standby", `{"cue": 2}`)
		p.await("the villain stands by", `text("pad-look") === "warden"`)
		p.tap("pad")
		outside.Await(t, "the flip is over", func() bool { st := s.state(); return st.Look == "warden" && st.Fade == nil })
		p.tap("take")
		p.await("cut from the set in one tap", `part("take").dataset.hot === "false" && document.querySelector(".page").dataset.hot === "false"`)
		require.False(t, s.taking().Hot)
		require.Contains(t, ask[string](p, `return text("take");`), "012/A/2", "the number counts up")
	})

	t.Run("note, circle and clip", func(t *testing.T) {
		p.t = t
		goToTakes(p)
		p.await("the newest take", `text("newest").includes("012/A/1")`)
		p.write("newest-note", "she looks up too late")
		p.click("circle")
		outside.Await(t, "both are on the disk", func() bool {
			l := s.takes("").Takes
			return len(l) == 1 && l[0].Circled && l[0].Note == "she looks up too late"
		})
		require.Equal(t, []string{"neutral", "warden"}, s.takes("").Takes[0].Looks)
		p.await("the list shows them", `text("take-row").includes("she looks up too late") && part("take-row").querySelector(".ringed")`)
		p.click("take-row")
		p.await("the take is open", `part("open-take") && part("event-1")`)
		p.write("take-clip", "A001C003")
		outside.Await(t, "the clip is on the disk", func() bool { return s.takes("").Takes[0].Clip == "A001C003" })
	})

	t.Run("what differs now, and as shot", func(t *testing.T) {
		p.t = t
		s.do("cue", `{"look": "tide", "fade": "0 s"}`)
		require.NotEqual(t, atRoll, s.settled())
		p.click("differs")
		p.await("lamps that differ, the worst first", `document.querySelectorAll('[data-test="difference"]').length > 0`)
		var d struct{ Lamps []take.Difference }
		s.daemon.get("/api/takes/1/differs?event=1", &d)
		require.Equal(t, d.Lamps[0].Rig, ask[string](p, `return part("difference").dataset.rig;`))
		require.Regexp(t, `brighter|darker|dark|lit|bright`, ask[string](p, `return text("difference");`))
		p.click("as-shot")
		outside.Await(t, "it is on", func() bool { st := s.taking(); return st.AsShot != nil && st.Fade == nil })
		require.Equal(t, atRoll, s.settled(), "the node has the very bytes of the roll")
		p.await("what became of the lamps is said", `text("recalled").includes("have the very bytes")`)
		p.click("differs")
		p.await("nothing differs", `text("as-it-was").includes("Every lamp gives what it gave") && !part("difference")`)
		p.click("event-3")
		p.await("another moment is chosen", `part("event-3").checked && !part("as-it-was")`)
		p.click("as-shot")
		outside.Await(t, "the flip of the take is on", func() bool { st := s.taking(); return st.AsShot != nil && st.AsShot.Event == 3 && st.Fade == nil })
		require.NotEqual(t, atRoll, s.settled())
	})

	t.Run("while a take rolls nothing is put back", func(t *testing.T) {
		p.t = t
		// However long this machine takes, the next press comes as soon as a bounce does.
		ask[any](p, `window.held = []; window.later = setTimeout; window.setTimeout = (run, ms, ...more) => ms === 700 ? held.push(run) : later(run, ms, ...more); return null;`)
		p.key("r")
		outside.Await(t, "the key rolls", func() bool { return s.taking().Hot })
		p.await("as shot says why not", `part("as-shot").getAttribute("aria-disabled") === "true"`)
		was := s.settled()
		p.click("event-1")
		p.click("as-shot")
		require.Equal(t, was, s.settled())
		require.True(t, s.taking().Hot)
		p.key("r")
		p.frames(5)
		require.True(t, s.taking().Hot, "a key that bounces does not cut")
		ask[any](p, `window.setTimeout = later; for (const run of held) run(); return null;`)
		outside.Await(t, "it cuts", func() bool { p.key("r"); p.frames(10); return !s.taking().Hot })
	})

	t.Run("photo", func(t *testing.T) {
		p.t = t
		var picture bytes.Buffer
		require.NoError(t, jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 64, 48)), nil))
		ask[any](p, fmt.Sprintf(`
			const bytes = Uint8Array.from(atob(%q), (c) => c.charCodeAt(0));
			const chosen = new DataTransfer();
			chosen.items.add(new File([bytes], "photo.jpg", {type: "image/jpeg"}));
			part("photo-file").files = chosen.files;
			part("photo-file").dispatchEvent(new Event("change", {bubbles: true}));
			return null;`, b64(picture.Bytes())))
		p.await("the photo is shown", `part("photo")?.querySelector("img").naturalWidth === 64`)
		require.Equal(t, 1, s.takes("scene=012").Takes[1].Photos)
		require.Equal(t, "environment", ask[string](p, `return part("photo-file").getAttribute("capture");`))
	})

	t.Run("search and export", func(t *testing.T) {
		p.t = t
		p.click("all-takes")
		p.await("both takes", `document.querySelectorAll('[data-test="take-row"]').length === 2`)
		p.click("only-circled")
		p.await("one is circled", `document.querySelectorAll('[data-test="take-row"]').length === 1`)
		p.click("find")
		p.write("find-scene", "99")
		p.await("none is of that scene", `text("takes-empty") === "No take is like that."`)
		p.write("find-scene", "012")
		p.click("only-circled")
		p.await("both again", `document.querySelectorAll('[data-test="take-row"]').length === 2`)
		for form, media := range map[string]string{"csv": "text/csv", "edl": "text/plain", "tab": "text/tab-separated-values", "json": "application/json"} {
			res, err := http.Get(s.url + ask[string](p, `return part("export-`+form+`").getAttribute("href");`))
			require.NoError(t, err)
			body, err := io.ReadAll(res.Body)
			res.Body.Close()
			require.NoError(t, err)
			require.Equal(t, http.StatusOK, res.StatusCode, form)
			require.Contains(t, res.Header.Get("Content-Type"), media)
			require.Contains(t, string(body), "012", form)
		}
	})

	t.Run("another slate counts from what there is of it", func(t *testing.T) {
		p.t = t
		p.write("slate-slate", "B")
		p.await("its first", `part("slate-number").value === "1"`)
		p.write("slate-slate", "A")
		p.await("the third of A", `part("slate-number").value === "3"`)
		p.write("slate-number", "1")
		outside.Await(t, "a number that is taken is refused in words", func() bool {
			p.click("roll") // right after another one it is taken for a finger that bounces
			p.frames(5)
			return ask[bool](p, `return text("takes-refused").includes("there is such a take already");`)
		})
		require.False(t, s.taking().Hot)
	})
}

// While a take rolls an edit waits, and every place but the set says so until the cut.
func TestEditsOfAHotSetWaitOnThePage(t *testing.T) {
	s := newStage(t, 181)
	p := openPhone(t, browser(t), s.url, planOnly)
	p.await("the sheet", `part("strip-neutral") && !part("strip-ebb")`)
	s.do("take", `{"do": "roll", "scene": "7", "slate": "A"}`)
	p.await("the set is hot", `document.querySelector(".page").dataset.hot === "true"`)
	place, err := os.ReadFile(filepath.Join(s.show, "locations", "deep-end.yaml"))
	require.NoError(t, err)
	sheet := strings.Replace(string(place), "looks:\n", "looks:\n  ebb: {from: warden}\n", 1)
	save(t, s.show, "locations/deep-end.yaml", strings.Replace(sheet, "cues:\n", "cues:\n  - {look: ebb, fade: 3 s}\n", 1))
	for _, place := range []string{"paint", "takes"} {
		p.tap("place-" + place)
		p.await("what waits is said over "+place, `text("hot-note").includes("7/A/1") && text("hot-waits") === "One change waits."`)
	}
	require.False(t, ask[bool](p, `return Boolean(part("strip-ebb"));`))
	p.tap("take")
	p.await("the cut takes it in", `!part("hot-note") && document.querySelector(".page").dataset.hot === "false"`)
	p.tap("place-set")
	p.await("the new look is in the sheet", `part("strip-ebb")`)
}

// TestClickerKeysOnThePage teaches the page a clicker, and works the set with it.
func TestClickerKeysOnThePage(t *testing.T) {
	s := newStage(t, 173)
	p := openPhone(t, browser(t), s.url, planOnly)
	p.key("i")
	p.click("open-clicker")
	for action, key := range map[string]string{"run": "F5", "back": ".", "take": "MediaPlayPause"} {
		p.click("learn-" + action)
		p.await("it waits for a key", `part("learn-`+action+`").getAttribute("aria-pressed") === "true"`)
		p.key(key)
		p.await("the key is learnt", fmt.Sprintf(`part("clicker-%s").dataset.key === %q`, action, key))
	}
	p.do(chromedp.Navigate(s.url))
	p.await("the pad stands by", `pad.dataset.state === "standby"`)
	was := s.state().Look
	p.key("F5")
	outside.Await(t, "the clicker runs", func() bool { st := s.state(); return st.Look != was || st.Fade != nil })
	require.Equal(t, "key", s.state().Last.Source)
	p.await("the fade ends", `["done", "standby"].includes(pad.dataset.state)`)
	p.key(".")
	outside.Await(t, "the clicker goes back", func() bool { st := s.state(); return st.Look == was && st.Fade == nil })
	s.do("take", `{"do": "roll", "scene": "7", "slate": "A"}`)
	p.await("hot", `document.querySelector(".page").dataset.hot === "true"`)
	p.key("MediaPlayPause")
	outside.Await(t, "the clicker cuts", func() bool { return !s.taking().Hot })
	ask[any](p, `localStorage.removeItem("clicker"); return null;`)
}

// TestCountInFromThePad counts a cue in without leaving the set.
func TestCountInFromThePad(t *testing.T) {
	s := newStage(t, 175)
	p := openPhone(t, browser(t), s.url, planOnly)
	for range 6 {
		if ask[string](p, `return text("count-says");`) == "in 3 s" {
			break
		}
		p.tap("count")
		p.frames(3)
	}
	require.Equal(t, "in 3 s", ask[string](p, `return text("count-says");`))
	was := s.state().Look
	p.tap("pad")
	p.await("it counts", `pad.dataset.state === "counting"`)
	require.Equal(t, was, s.state().Look)
	outside.Await(t, "the cue has run", func() bool { st := s.state(); return st.Last != nil && st.Last.Source == "count-in" })
}

// TestTakesPictures takes pictures of the takes in every main state, to be looked at.
func TestTakesPictures(t *testing.T) {
	if pictureDir() == "" {
		t.Skip("set LINKBOY_PICTURES to a folder to take the pictures")
	}
	s := newLitSet(t, 177, "deep-end")
	p := openCamera(t, s)
	sizes := [][3]int64{{360, 740, 2}, {412, 915, 2}, {820, 1180, 1}, {1440, 900, 1}}
	shoot := func(name string) {
		for _, size := range sizes {
			p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2]))))
			p.frames(20)
			ask[any](p, `document.activeElement?.blur(); return null;`)
			png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
			require.NoError(t, err)
			savePicture(t, fmt.Sprintf("takes-%s-%d.png", name, size[0]), png)
		}
	}
	shoot("set-cool")
	goToTakes(p)
	shoot("empty")
	night(t, s)
	p.await("the list", `document.querySelectorAll('[data-test="take-row"]').length === 6`)
	shoot("list")
	scroll := func(name string) { ask[any](p, `part("`+name+`").scrollIntoView({block: "start"}); return null;`) }
	scroll("take-list")
	shoot("list-below")
	p.click("find")
	shoot("find")
	p.click("find")
	ask[any](p, `document.querySelector('[data-take="5"]').click(); return null;`)
	p.await("the take is open", `part("event-1") && part("photo")`)
	shoot("open")
	s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
	p.click("differs")
	p.await("what differs", `part("difference")`)
	shoot("differs")
	p.click("as-shot")
	p.await("as shot", `part("recalled")`)
	outside.Await(t, "it is on", func() bool { return s.state().Fade == nil })
	scroll("as-shot")
	shoot("as-shot")
	scroll("photos")
	shoot("photos")
	p.click("all-takes")
	s.do("take", `{"do": "roll"}`)
	p.await("hot", `part("hot-note") && part("newest").dataset.kept === "true"`)
	scroll("board")
	shoot("hot")
	p.tap("place-paint")
	p.await("painting", `part("room-paint")`)
	shoot("paint-hot")
	p.tap("place-set")
	p.key("i")
	p.await("the details", `part("details")`)
	shoot("details-hot")
	p.key("i")
	p.await("the set", `!part("details")`)
	shoot("set-hot")
	s.do("take", `{"do": "cut"}`)
	p.key("i")
	p.click("open-clicker")
	p.click("learn-take")
	shoot("clicker")
}

// night shoots some takes.
func night(t *testing.T, s *litSet) {
	t.Helper()
	s.do("cue", `{"look": "neutral", "fade": "0 s"}`)
	for i, note := range []string{"", "she surfaces too early", "", "boom in shot at the top", "the good one: holds her breath, then the flip", ""} {
		s.do("take", fmt.Sprintf(`{"do": "roll", "scene": "%s", "slate": "%s", "setup": "wide"}`, []string{"12", "12", "12", "14", "14", "14"}[i], []string{"A", "A", "B", "A", "A", "C"}[i]))
		s.do("cue", fmt.Sprintf(`{"cue": %d, "fade": "300 ms", "spread": "0 s", "delay": "0 s"}`, 2+i%3))
		outside.Await(t, "the fade ends", func() bool { return s.state().Fade == nil })
		s.do("overall", `{"level": "85%"}`)
		s.do("take", fmt.Sprintf(`{"do": "cut", "note": %q, "circled": %v, "clip": "A001C00%d"}`, note, i == 4 || i == 1, i+1))
		s.do("overall", `{"level": "100%"}`)
	}
	photo := image.NewRGBA(image.Rect(0, 0, 1200, 900))
	for y := range 900 {
		for x := range 1200 {
			photo.Set(x, y, color.RGBA{uint8(x / 6), uint8(y / 5), uint8(200 - y/9), 255})
		}
	}
	var picture bytes.Buffer
	require.NoError(t, jpeg.Encode(&picture, photo, nil))
	for range 2 {
		res, err := http.Post(s.url+"/api/takes/5/photos", "image/jpeg", bytes.NewReader(picture.Bytes()))
		require.NoError(t, err)
		res.Body.Close()
		require.Equal(t, http.StatusCreated, res.StatusCode)
	}
}

// b64 is how bytes get into a script.
func b64(data []byte) string {
	text, _ := json.Marshal(data)
	return string(text[1 : len(text)-1])
}
