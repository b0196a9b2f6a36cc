package main

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
)

// pictureDir is the folder for pictures, "" when none are to be taken.
func pictureDir() string { return os.Getenv("LINKBOY_PICTURES") }

// savePicture puts a picture into that folder.
func savePicture(t testing.TB, name string, png []byte) {
	t.Helper()
	require.NoError(t, os.MkdirAll(pictureDir(), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(pictureDir(), name), png, 0o644))
}

// TestSheets: the looks of every location of the demo get their pictures on a sheet, which is
// not dark. The light that is computed for it is kept for the tests of the page.
func TestSheets(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	keepLight(t, dir)
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems.Error())
	for _, loc := range show.Locations {
		path := filepath.Join(dir, loc.Name+".png")
		code, _, stderr := command(t, "", "picture", dir, loc.Name, "-o", path)
		require.Equal(t, exitDone, code, stderr)
		file, err := os.ReadFile(path)
		require.NoError(t, err)
		if pictureDir() != "" {
			savePicture(t, "sheet-"+loc.Name+".png", file)
		}
		sheet, err := png.Decode(bytes.NewReader(file))
		require.NoError(t, err)
		require.Greater(t, litShare(sheet), 0.1, loc.Name)
	}
}

// litShare is the share of a picture that is not dark.
func litShare(img image.Image) float64 {
	lit, b := 0, img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y > 40 {
				lit++
			}
		}
	}
	return float64(lit) / float64(b.Dx()*b.Dy())
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
		p.awaitWork("the thumbnails in view are drawn", `[...document.querySelectorAll('[data-test^="strip-"] canvas')].every((c) => {
			const r = c.getBoundingClientRect();
			const inView = r.right > 0 && r.left < innerWidth;
			return !inView || c.dataset.drawn === "daemon";
		})`)
		ask[any](p, `document.activeElement?.blur(); return null;`)
		shown, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		savePicture(t, shot.name, shown)
	}
}
