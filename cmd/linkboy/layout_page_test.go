package main

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// misplaced lists what of a page nobody could read or touch: words that reach out of the
// screen or out of what clips them, and controls that lie under another. What can be
// scrolled to is in its place, and so is what a sheet covers on purpose.
const misplaced = `
	const found = [];
	const name = (e) => e.closest("[data-test]")?.dataset.test + " " + e.tagName.toLowerCase() + (e.className?.baseVal === undefined && e.className ? "." + String(e.className).replaceAll(" ", ".") : "");
	const above = (e) => { const all = []; for (let a = e.parentElement; a; a = a.parentElement) all.push(a); return all; };
	const clips = (style, way) => ["hidden", "clip"].includes(style[way]);
	const scrolls = (style, way) => ["auto", "scroll"].includes(style[way]);
	const seen = (e) => e.checkVisibility({opacityProperty: true, visibilityProperty: true}) && !e.closest(".unseen");
	const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	for (let t = texts.nextNode(); t; t = texts.nextNode()) {
		const e = t.parentElement;
		if (!t.data.trim() || !seen(e) || e.closest("select, script, style, noscript, svg, textarea")) continue;
		const range = document.createRange();
		range.selectNodeContents(t);
		const r = range.getBoundingClientRect();
		if (!r.width || !r.height) continue;
		const line = parseFloat(getComputedStyle(e).fontSize);
		let sideways = false, upright = false;
		for (const a of [e, ...above(e)]) {
			const style = getComputedStyle(a), box = a.getBoundingClientRect();
			if (style.textOverflow === "ellipsis") sideways = true;
			if (scrolls(style, "overflowX") && a.scrollWidth > a.clientWidth) sideways = true;
			if (scrolls(style, "overflowY") && a.scrollHeight > a.clientHeight) upright = true;
			if (!sideways && clips(style, "overflowX") && (r.left < box.left - 1.5 || r.right > box.right + 1.5)) found.push("cut at the side: " + t.data.trim() + " | " + name(a));
			if (!upright && clips(style, "overflowY") && (r.top < box.top - line / 3 || r.bottom > box.bottom + line / 3)) found.push("cut above or below: " + t.data.trim() + " | " + name(a));
		}
		if (!sideways && (r.left < -1 || r.right > innerWidth + 1)) found.push("out of the screen: " + t.data.trim() + " | " + name(e));
	}
	const controls = "button, input, select, textarea, a[href], [role=slider], [role=button]";
	for (const e of document.querySelectorAll(controls)) {
		if (!seen(e)) continue;
		const r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2;
		if (!r.width || x < 0 || y < 0 || x >= innerWidth || y >= innerHeight) continue;
		const hidden = above(e).some((a) => {
			const style = getComputedStyle(a), box = a.getBoundingClientRect();
			return (scrolls(style, "overflowX") || clips(style, "overflowX")) && (x < box.left || x > box.right) || (scrolls(style, "overflowY") || clips(style, "overflowY")) && (y < box.top || y > box.bottom);
		});
		if (hidden) continue;
		const top = document.elementFromPoint(x, y)?.closest(controls);
		if (!top || top === e || top.contains(e) || e.contains(top) || top.closest("label")?.contains(e)) continue;
		if (top.closest("[role=dialog]") && !e.closest("[role=dialog]")) continue;
		found.push("under another: " + name(e) + " | " + name(top));
	}
	return [...new Set(found)];`

// TestNothingIsCutOff: on every screen in every state, on a phone, a large one, a tablet and
// a desk, in English and in German, all words can be read and all controls be touched.
func TestNothingIsCutOff(t *testing.T) {
	s := newStage(t, 201)
	b := browser(t)
	for _, language := range []string{"en", "de"} {
		p := openPhone(t, b, s.url, planOnly, `Object.defineProperty(navigator, "languages", {get: () => ["`+language+`"]});`)
		require.Equal(t, language, ask[string](p, `return document.documentElement.lang;`))
		s.do("standby", `{"cue": 2}`)
		p.await("the stand-by", `text("pad-look") === "warden"`)
		for _, sc := range screens {
			t.Run(language+"/"+sc.name, func(t *testing.T) {
				p.t = t
				if sc.in != nil {
					sc.in(s, p)
				}
				for _, size := range [][2]int64{{360, 740}, {412, 915}, {820, 1180}, {1440, 900}} {
					p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateTouch))
					p.frames(3)
					for _, what := range ask[[]string](p, misplaced) {
						t.Errorf("%dx%d: %s", size[0], size[1], what)
					}
				}
				p.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateTouch))
				if sc.out != nil {
					sc.out(s, p)
				}
				s.do("standby", `{"cue": 2}`)
				p.await("it stands by again", `pad.dataset.state === "standby"`)
			})
		}
	}
}
