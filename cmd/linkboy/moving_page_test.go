package main

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Light that moves within a look moves at the node and in the page's picture, without
// the page doing anything for it, and H holds it.
func TestPageShowsMovingLight(t *testing.T) {
	s := newLitSet(t, 155, "deep-end")
	p := openCamera(t, s)
	s.do("cue", `{"look": "surfacing", "fade": "0 s"}`)
	p.await("the look", `part("picture").dataset.shows === "camera"`)
	require.True(t, s.state().Moving)
	bytes := s.frames()["0:0:1"]
	await(t, "the bytes to move", func() bool { return !slices.Equal(bytes, s.frames()["0:0:1"]) })
	p.frames(10)
	low, high := 255.0, 0.0
	await(t, "the picture to move", func() bool {
		_, _, blue := p.middleColour("shot")
		low, high = min(low, blue), max(high, blue)
		return high-low > 2
	})
	hold := func() { ask[any](p, `dispatchEvent(new KeyboardEvent("keydown", { key: "h" })); return null;`) }
	hold()
	await(t, "all to stand still", func() bool { return s.state().Held })
	p.await("the pad says so", `text("pad-note").includes("H lets it go on")`)
	bytes = s.frames()["0:0:1"]
	time.Sleep(200 * time.Millisecond) // frames that would move it
	require.Equal(t, bytes, s.frames()["0:0:1"])
	if dir := pictureDir(); dir != "" {
		png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll(dir, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "moving-held.png"), png, 0o644))
	}
	hold()
	await(t, "it to go on", func() bool { return !s.state().Held })
	await(t, "the bytes to move on", func() bool { return !slices.Equal(bytes, s.frames()["0:0:1"]) })
}
