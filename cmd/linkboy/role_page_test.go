package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// pairedStage is a stage whose daemon lets in by code; requests of the test are the owner's.
func pairedStage(t testing.TB, host int) (s *rehearsal, code string) {
	t.Helper()
	s = newStage(t, host, "--listen", "0.0.0.0:0")
	u, err := url.Parse(s.url)
	require.NoError(t, err)
	code = u.Query().Get("code")
	require.NotEmpty(t, code)
	s.url = "http://127.0.0.1:" + u.Port()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	http.DefaultClient.Jar = jar
	t.Cleanup(func() { http.DefaultClient.Jar = nil })
	res, err := http.Get(s.url + "/?code=" + code)
	require.NoError(t, err)
	require.NoError(t, res.Body.Close())
	return s, code
}

// ofItsOwn is a browser that shares no cookies with the others of a process.
func ofItsOwn(t testing.TB, b context.Context) context.Context {
	t.Helper()
	ctx, cancel := chromedp.NewContext(b, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	require.NoError(t, chromedp.Do(ctx))
	return ctx
}

// scanned is what another phone reads of the code on this one: its screen, decoded by jsQR.
func (p *phone) scanned() string {
	p.t.Helper()
	_, modules := outside.NodeModules(p.t, "jsqr")
	source, err := os.ReadFile(filepath.Join(modules, "jsqr", "dist", "jsQR.js"))
	require.NoError(p.t, err)
	ask[any](p, `part("invite").scrollIntoView({block: "center"}); return null;`)
	shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	ask[any](p, string(source)+"\nreturn null;")
	return promised[string](p, `
		const bytes = Uint8Array.from(atob("`+base64.StdEncoding.EncodeToString(shot)+`"), (c) => c.charCodeAt(0));
		const picture = await createImageBitmap(new Blob([bytes], {type: "image/png"}));
		const at = new OffscreenCanvas(picture.width, picture.height).getContext("2d");
		at.drawImage(picture, 0, 0);
		return jsQR(at.getImageData(0, 0, picture.width, picture.height).data, picture.width, picture.height)?.data ?? "";`)
}

// The owner shows a code, another phone scans it: one to look on, one to see to the lamps.
// What they may not do is not offered, and the set stays as it was.
func TestOthersAreLetIn(t *testing.T) {
	s, code := pairedStage(t, 191)
	b := browser(t)
	axe := axeSource(t)
	grave := func(p *phone) {
		t.Helper()
		for _, f := range p.axe(axe) {
			t.Errorf("%s (%s): %s %v", f.ID, f.Impact, f.Help, f.Nodes)
		}
	}
	owner := openPhone(t, ofItsOwn(t, b), s.url+"/?code="+code, planOnly)
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	owner.await("the look is on", `part("strip-warden").dataset.onset === "true"`)
	before := s.slots()
	asBefore := func() bool { return s.state().Fade == nil && bytes.Equal(before, s.slots()) }

	invite := func(role string) *phone {
		owner.tap("status")
		owner.press("invite-" + role)
		owner.await("the code", `part("invite") && text("invite-code").length === 9`)
		owner.await("all of it is to be seen", `part("invite").getBoundingClientRect().bottom <= part("details").getBoundingClientRect().bottom`)
		owner.keep("invite-" + role + ".png")
		grave(owner)
		link := owner.scanned()
		require.Contains(t, link, ask[string](owner, `return text("invite-code").trim();`))
		owner.press("close")
		u, err := url.Parse(link)
		require.NoError(t, err)
		return openPhone(t, ofItsOwn(t, b), s.url+"/?"+u.RawQuery, planOnly) // the machine of the test has no other address
	}

	viewer := invite("viewer")
	viewer.await("it looks on", `pad.tagName === "DIV" && text("pad").includes("look on") && !part("worklight") && !part("kill") && !part("back") && !part("place-paint")`)
	viewer.looks("viewer")
	grave(viewer)
	viewer.key(" ")
	viewer.await("a key runs nothing", `text("refusal").includes("viewer")`)
	viewer.press("strip-tide")
	s.do("cue", `{"look": "tide", "fade": "20 s", "at": 0.3}`)
	viewer.await("it sees what runs", `["held", "running"].includes(pad.dataset.state) && text("pad-look") === "tide"`)
	require.Equal(t, http.StatusForbidden, ask[int](viewer, `const x = new XMLHttpRequest(); x.open("POST", "/api/kill", false); x.send(); return x.status;`))
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	outside.Await(t, "the set is as it was", asBefore)

	assistant := invite("assistant")
	assistant.await("it has the lamps", `part("place-rig") && !part("place-takes") && part("worklight") && !part("kill")`)
	assistant.tap("place-rig")
	assistant.press("lamp-lane-1")
	assistant.press("rig-show")
	outside.Await(t, "the lamp shows itself", func() bool { p := s.state().Pointing; return p != nil && p.Lamp == "lane-1" })
	assistant.await("and says so", `text("rig-show").includes("stop")`)
	assistant.looks("assistant")
	grave(assistant)
	assistant.press("rig-show")
	outside.Await(t, "and stops", func() bool { return s.state().Pointing == nil })
	assistant.tap("worklight")
	outside.Await(t, "nobody stays in the dark", func() bool { return s.state().WorkLit })
	assistant.await("it is told", `part("worklight").dataset.on === "true"`)
	assistant.tap("worklight")
	outside.Await(t, "and the look is back", asBefore)
}
