package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// openCamera opens the page and waits for the camera's picture.
func openCamera(t *testing.T, s *litSet) *phone {
	t.Helper()
	p := openPhone(t, browser(t), s.url)
	p.await("the camera's picture", `part("picture").dataset.shows === "camera" && part("shot").querySelector("canvas")`)
	return p
}

// TestLookPictures takes a picture of the page in every look of the demo, on a phone and on a desk, into the folder that
// LINKBOY_PICTURES names: they are there to be looked at.
func TestLookPictures(t *testing.T) {
	dir := pictureDir()
	if dir == "" {
		t.Skip("set LINKBOY_PICTURES to a folder to take the pictures")
	}
	s := newLitSet(t, 143, "deep-end")
	show := s.stage.Plan.Show
	p := openCamera(t, s)
	for _, loc := range show.Locations {
		s.do("location", fmt.Sprintf(`{"name": %q}`, loc.Name))
		await(t, "the location", func() bool { return s.state().Location == loc.Name })
		s.awaitLight()
		for _, size := range [][3]int64{{360, 740, 2}, {1440, 900, 1}} {
			p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2]))))
			for _, look := range show.LookNames(loc) {
				s.do("cue", fmt.Sprintf(`{"look": %q, "fade": "0 s"}`, look))
				await(t, "the look", func() bool { st := s.state(); return st.Look == look && st.Fade == nil })
				p.await("the camera's picture of it", fmt.Sprintf(`part("picture").dataset.light === %q && part("shot")`, s.state().Light.Hash))
				promised[bool](p, `for (let i = 0; i < 30; i++) await new Promise((next) => requestAnimationFrame(next)); return true;`)
				png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
				require.NoError(t, err)
				require.NoError(t, os.MkdirAll(dir, 0o755))
				require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%s-%d.png", loc.Name, look, size[0])), png, 0o644))
			}
		}
	}
}
