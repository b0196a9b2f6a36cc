package main

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// Light that moves within a look moves at the node and on the page, which draws what the
// bytes make as ever, and H holds it.
func TestPageShowsMovingLight(t *testing.T) {
	s := newStage(t, 155)
	p := openPhone(t, browser(t), s.url, planOnly)
	s.do("cue", `{"look": "surfacing", "fade": "0 s"}`)
	require.True(t, s.state().Moving)
	sent := s.frames()["0:0:1"]
	outside.Await(t, "the bytes to move", func() bool { return !slices.Equal(sent, s.frames()["0:0:1"]) })
	p.frames(10)
	before := p.pixels("plan")
	outside.Await(t, "the picture to move", func() bool { return changed(before, p.pixels("plan")) > 0.002 })
	hold := func() { ask[any](p, `dispatchEvent(new KeyboardEvent("keydown", { key: "h" })); return null;`) }
	hold()
	outside.Await(t, "all to stand still", func() bool { return s.state().Held })
	p.await("the pad says so", `text("pad-note").includes("H goes on")`)
	sent = s.frames()["0:0:1"]
	time.Sleep(200 * time.Millisecond) // frames that would move it
	require.Equal(t, sent, s.frames()["0:0:1"])
	if pictureDir() != "" {
		shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
		require.NoError(t, err)
		savePicture(t, "moving-held.png", shot)
	}
	hold()
	outside.Await(t, "it to go on", func() bool { return !s.state().Held })
	outside.Await(t, "the bytes to move on", func() bool { return !slices.Equal(sent, s.frames()["0:0:1"]) })
}

// pixels is what the screen shows of a part.
func (p *phone) pixels(name string) *image.NRGBA {
	p.t.Helper()
	at := ask[[]int](p, `const r = part("`+name+`").getBoundingClientRect(), s = devicePixelRatio; return [r.left, r.top, r.right, r.bottom].map((v) => Math.floor(v * s));`)
	shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	img, err := png.Decode(bytes.NewReader(shot))
	require.NoError(p.t, err)
	out := image.NewNRGBA(image.Rect(0, 0, at[2]-at[0], at[3]-at[1]))
	draw.Draw(out, out.Rect, img, image.Pt(at[0], at[1]), draw.Src)
	return out
}

// changed gives the share of pixels that differ by more than 8 of 255 in a channel.
func changed(a, b *image.NRGBA) float64 {
	n := 0
	for i := 0; i < len(a.Pix); i += 4 {
		for c := range 3 {
			if d := int(a.Pix[i+c]) - int(b.Pix[i+c]); d > 8 || d < -8 {
				n++
				break
			}
		}
	}
	return float64(4*n) / float64(len(a.Pix))
}
