package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// pictureDir is the folder for pictures, "" when none are to be taken.
func pictureDir() string { return os.Getenv("LINKBOY_PICTURES") }

// savePicture puts a picture into that folder.
func savePicture(t testing.TB, name string, png []byte) {
	t.Helper()
	require.NoError(t, os.MkdirAll(pictureDir(), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(pictureDir(), name), png, 0o644))
}

// TestPictures takes the pictures of the README anew, into the folder that
// LINKBOY_PICTURES names: LINKBOY_PICTURES=$PWD/ui/docs go test -run Pictures ./cmd/linkboy
func TestPictures(t *testing.T) {
	if pictureDir() == "" {
		t.Skip("set LINKBOY_PICTURES to a folder to take the pictures")
	}
	s := newLitSet(t, 113, "deep-end")
	p := openCamera(t, s)
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	s.do("standby", `{"cue": 4}`)
	shots := []struct {
		name   string
		w, h   int64
		scale  float64
		before func(*phone)
	}{
		{"set.png", 360, 740, 2, func(p *phone) { p.await("the stand-by", `text("pad-look") === "surfacing"`) }},
		{"set-desk.png", 1280, 800, 1, func(*phone) {}},
		{"set-held.png", 360, 740, 2, func(p *phone) {
			s.do("cue", `{"look": "warden", "fade": "60 s", "at": 0.4}`)
			p.await("the held fade", `pad.dataset.state === "held"`)
		}},
	}
	for _, shot := range shots {
		p.do(chromedp.EmulateViewport(shot.w, shot.h, chromedp.EmulateScale(shot.scale)))
		shot.before(p)
		p.await("the camera's picture", `part("picture").dataset.shows === "camera"`)
		p.frames(10)
		p.await("the thumbnails in view are drawn", `[...document.querySelectorAll('[data-test^="strip-"] canvas')].every((c) => {
			const r = c.getBoundingClientRect();
			const inView = r.right > 0 && r.left < innerWidth;
			return !inView || c.dataset.drawn === "daemon";
		})`)
		ask[any](p, `document.activeElement?.blur(); return null;`)
		png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		savePicture(t, shot.name, png)
	}
}
