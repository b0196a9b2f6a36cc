package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A page that is open draws what is edited on disk, and says what is broken there.
func TestPageFollowsTheShowOnDisk(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	d := startDaemon(t, "demo", "--show", dir, "--location", "deep-end", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.231")
	p := openPhone(t, browser(t), d.url, planOnly)
	show, err := os.ReadFile(filepath.Join(dir, "show.yaml"))
	require.NoError(t, err)
	place, err := os.ReadFile(filepath.Join(dir, "locations", "deep-end.yaml"))
	require.NoError(t, err)

	p.await("the sheet", `part("strip-neutral") && !part("strip-ebb")`)
	next := ask[string](p, `return text("pad-look");`)
	sheet := strings.Replace(string(place), "looks:\n", "looks:\n  ebb: {from: warden}\n", 1)
	sheet = strings.Replace(sheet, "cues:\n", "cues:\n  - {look: ebb, fade: 3 s}\n", 1)
	save(t, dir, "locations/deep-end.yaml", sheet)
	p.await("the new sheet", `part("strip-ebb")`)
	require.Equal(t, next, ask[string](p, `return text("pad-look");`), "what stood by still does")

	save(t, dir, "show.yaml", strings.Replace(string(show), "wears: tide", "wears: tied", 1))
	p.await("the warning is counted", `Number(text("status-warnings")) >= 2`)
	p.tap("status")
	p.await("it says where", `[...document.querySelectorAll('[data-test="warning"]')].some((w) => /show\.yaml:\d+:\d+/.test(w.textContent) && w.textContent.includes("tied"))`)
	p.await("and that the show stays", `text("show-files").includes("not taken in")`)
	p.keepPicture("show-broken.png", 360, 740)
	p.keepPicture("show-broken-desk.png", 1440, 900)
	save(t, dir, "show.yaml", string(show))
	p.await("all is well", `text("show-files").includes("again") && ![...document.querySelectorAll('[data-test="warning"]')].some((w) => w.textContent.includes("tied"))`)
	p.keepPicture("show-taken.png", 360, 740)
}

// keepPicture takes a picture of the page where LINKBOY_PICTURES names a folder.
func (p *phone) keepPicture(name string, w, h int64) {
	p.t.Helper()
	if pictureDir() == "" {
		return
	}
	p.do(chromedp.EmulateViewport(w, h))
	p.await("the size", `innerWidth > 0`)
	png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	savePicture(p.t, name, png)
}
