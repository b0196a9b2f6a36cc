package main

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"net/http"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/colour/picture"
)

// openCamera opens the page and waits for the camera's picture.
func openCamera(t testing.TB, s *litSet) *phone {
	t.Helper()
	p := openPhone(t, browser(t), s.url)
	p.await("the camera's picture", `part("picture").dataset.shows === "camera" && part("shot").querySelector("canvas")`)
	return p
}

// TestLookPictures takes a picture of the page in every look of the demo, on a phone and on a desk, into the folder that
// LINKBOY_PICTURES names: they are there to be looked at.
func TestLookPictures(t *testing.T) {
	if pictureDir() == "" {
		t.Skip("set LINKBOY_PICTURES to a folder to take the pictures")
	}
	s := newLitSet(t, 143, "deep-end")
	show := s.stage.Plan.Show
	p := openCamera(t, s)
	for _, loc := range show.Locations {
		s.do("location", fmt.Sprintf(`{"name": %q}`, loc.Name))
		outside.Await(t, "the location", func() bool { return s.state().Location == loc.Name })
		s.awaitBounced()
		for _, size := range [][3]int64{{360, 740, 2}, {1440, 900, 1}} {
			p.do(chromedp.EmulateViewport(size[0], size[1], chromedp.EmulateScale(float64(size[2]))))
			for _, look := range show.LookNames(loc) {
				s.do("cue", fmt.Sprintf(`{"look": %q, "fade": "0 s"}`, look))
				outside.Await(t, "the look", func() bool { st := s.state(); return st.Look == look && st.Fade == nil })
				p.await("the camera's picture of it", fmt.Sprintf(`part("picture").dataset.light === %q && part("shot")`, s.state().Light.Hash))
				p.frames(30)
				shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
				require.NoError(t, err)
				savePicture(t, fmt.Sprintf("%s-%s-%d.png", loc.Name, look, size[0]), shot)
			}
		}
	}
}

// middleColour is the mean colour of what a part of the page shows, 0..255.
func (p *phone) middleColour(name string) (r, g, b float64) {
	p.t.Helper()
	at := ask[[]float64](p, `const r = part("`+name+`").getBoundingClientRect(); return [r.x, r.y, r.width, r.height];`)
	shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	img, err := png.Decode(bytes.NewReader(shot))
	require.NoError(p.t, err)
	scale := float64(img.Bounds().Dx()) / ask[float64](p, `return innerWidth;`)
	n := 0.0
	for y := int(at[1] * scale); y < int((at[1]+at[3])*scale); y++ {
		for x := int(at[0] * scale); x < int((at[0]+at[2])*scale); x++ {
			cr, cg, cb, _ := img.At(x, y).RGBA()
			r, g, b, n = r+float64(cr>>8), g+float64(cg>>8), b+float64(cb>>8), n+1
		}
	}
	return r / n, g / n, b / n
}

// frames waits until the page has had so many pictures of the screen.
func (p *phone) frames(n int) {
	p.t.Helper()
	promised[bool](p, fmt.Sprintf(`for (let i = 0; i < %d; i++) await new Promise((next) => requestAnimationFrame(next)); return true;`, n))
}

// shown waits until the page has shown what has come to it.
func (p *phone) shown() {
	p.t.Helper()
	p.frames(10)
	p.await("the picture is drawn", `part("shot").dataset.drawing === "false"`)
	p.frames(25)
	p.await("and what came meanwhile", `part("shot").dataset.drawing === "false"`)
}

// countPictures makes window.pictures count those that the page shows of the camera, and
// window.across add up how wide they are.
const countPictures = `
	window.pictures = window.across = 0;
	const count = (of, name) => {
		const was = of[name];
		of[name] = function (...a) { if (this.canvas.closest('[data-test="shot"]')) { window.pictures++; window.across += this.canvas.width; } return was.apply(this, a); };
	};
	count(CanvasRenderingContext2D.prototype, 'putImageData');
	count(WebGL2RenderingContext.prototype, 'blitFramebuffer');
	return null;`

func TestCameraOnThePage(t *testing.T) {
	s := newLitSet(t, 145, "deep-end")
	p := openCamera(t, s)

	t.Run("a tap reads stops", func(t *testing.T) {
		p.t = t
		size := ask[[]int](p, `const c = part("shot").querySelector("canvas"); return [c.width, c.height];`)
		frame, _ := s.reference("neutral", 0, size[0], size[1], 0)
		p.down("shot")
		p.up()
		p.await("the read-out", `text("spot") !== ""`)
		v := frame.Values[3*((size[1]/2)*size[0]+size[0]/2):][:3]
		stops := picture.Stops(float64(max(v[0], v[1], v[2])))
		var shown float64
		var side string
		_, err := fmt.Sscanf(ask[string](p, `return text("spot").trim();`), "%f %s", &shown, &side)
		require.NoError(t, err)
		if side == "under" {
			shown = -shown
		}
		require.InDelta(t, stops, shown, 0.15, "stops over grey in the middle")
	})

	t.Run("nothing is drawn while nothing changes", func(t *testing.T) {
		p.t = t
		ask[any](p, countPictures)
		outside.Await(t, "a rest, once the small pictures are drawn", func() bool {
			ask[any](p, `window.pictures = 0; return null;`)
			p.frames(60)
			return ask[int](p, `return window.pictures;`) == 0
		})
		s.do("overall", `{"level": "60%"}`)
		p.await("a change is drawn", `window.pictures > 0`)
		s.do("overall", `{"level": "100%"}`)
	})

	t.Run("the plan, stops and mist are a tap away", func(t *testing.T) {
		p.t = t
		p.shown()
		r, _, _ := p.middleColour("shot")
		p.tap("view-bands")
		p.await("bands", `part("view-bands").getAttribute("aria-pressed") === "true"`)
		p.shown()
		bands, _, _ := p.middleColour("shot")
		require.NotEqual(t, r, bands)
		p.tap("view-bands")
		p.shown()
		clear, _, _ := p.middleColour("shot")
		for _, share := range []string{"5", "15", "40"} {
			p.tap("view-haze")
			p.awaitWork("haze is computed", `text("haze").includes("haze of `+share+` %")`)
			p.shown()
			p.looks("haze-" + share)
			hazy, _, _ := p.middleColour("shot")
			require.NotEqual(t, clear, hazy)
			clear = hazy
		}
		p.tap("setup-reverse")
		p.awaitWork("the other camera's haze", `text("haze").includes("haze of 40 %")`)
		p.shown()
		p.looks("haze-reverse")
		p.tap("setup-wide")
		p.tap("view-haze")
		p.await("clear air again", `!part("haze") && part("view-haze").getAttribute("aria-pressed") === "false"`)
		p.tap("view-plan")
		p.await("the plan", `part("picture").dataset.shows === "plan" && part("plan")`)
		p.tap("setup-reverse")
		p.await("the other set-up", `part("picture").dataset.shows === "camera" && part("setup-reverse").getAttribute("aria-pressed") === "true"`)
		p.shown()
		reverse, _, _ := p.middleColour("shot")
		require.NotEqual(t, r, reverse)
		p.tap("setup-wide")
		p.await("the first set-up", `part("setup-wide").getAttribute("aria-pressed") === "true"`)
	})

	t.Run("the picture follows the pad in a dry run", func(t *testing.T) {
		p.t = t
		s.do("dry", `{"on": true}`)
		s.do("cue", `{"look": "tide", "fade": "0 s"}`)
		s.do("standby", `{"cue": 2}`)
		p.await("the Warden stands by", `text("pad-look") === "warden" && pad.dataset.state === "dry"`)
		p.shown()
		warmth := func() float64 { r, _, b := p.middleColour("shot"); return r - b }
		last := warmth()
		x, y := p.middle("pad")
		p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y + 90})
		for _, dy := range []float64{60, 10, -40, -90} {
			p.touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x, Y: y + dy})
			p.shown()
			now := warmth()
			require.Greater(t, now, last+2, "higher thumb, warmer picture: his colours come in")
			last = now
		}
		p.up()
		s.do("dry", `{"on": false}`)
	})
}

// Where the device has no WebGL 2, or no workers either, the page's own processor draws the
// same picture; where it cannot draw at all the page shows the plan and says why.
func TestPageWithoutWebGL(t *testing.T) {
	s := newLitSet(t, 147, "pump-room")
	b := browser(t)
	const without = `const was = HTMLCanvasElement.prototype.getContext;
		HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { return %s ? null : was.call(this, kind, ...rest); };`
	for name, script := range map[string]string{
		"no WebGL 2":       fmt.Sprintf(without, `kind === "webgl2"`),
		"no float targets": `WebGL2RenderingContext.prototype.getExtension = () => null;`,
		"no workers":       fmt.Sprintf(without, `kind === "webgl2"`) + `delete window.Worker;`,
	} {
		t.Run(name, func(t *testing.T) {
			p := openPhone(t, b, s.url, script)
			p.await("the camera's picture", `part("picture").dataset.shows === "camera" && part("shot").querySelector("canvas")?.width > 300`)
			p.frames(5)
			r, g, b := p.middleColour("shot")
			require.Greater(t, r+g+b, 10.0, "it is not black")
		})
	}
	p := openPhone(t, b, s.url, fmt.Sprintf(without, `kind === "webgl2" || rest[0]?.willReadFrequently`))
	p.await("the reason", `text("picture-why").includes("no canvas to draw on")`)
	require.Equal(t, "plan", ask[string](p, `return part("picture").dataset.shows;`))
}

// BenchmarkPageCamera draws the deep end, 222 cells, with new light each time, as fast as
// the browser can: beside it the same canvas cleared and read, the least that a picture
// can cost here. Test machines draw on the processor, so the page itself would draw by hand.
func BenchmarkPageCamera(b *testing.B) {
	s := newLitSet(b, 149, "deep-end")
	p := openCamera(b, s)
	for _, size := range [][2]int{{180, 101}, {720, 405}} {
		b.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(b *testing.B) {
			p.t = b
			p.shoot("tide", 0, size[0], size[1], `{}`)
			run := func(draw string) float64 {
				return promised[float64](p, fmt.Sprintf(`
					const {camera, rgb} = window.shot, gl = camera.canvas.getContext('webgl2'), style = {bands: false, glow: 0, most: 1};
					const began = performance.now();
					for (let i = 0; i < %d; i++) {
						rgb[0] = i;
						%s
						gl.bindFramebuffer(gl.FRAMEBUFFER, null);
						gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
					}
					return performance.now() - began;`, b.N, draw)) / float64(b.N)
			}
			bare := run(`gl.bindFramebuffer(gl.FRAMEBUFFER, null); gl.clearColor(Math.random(), 0, 0, 1); gl.clear(gl.COLOR_BUFFER_BIT);`)
			whole := run(`camera.draw(0, rgb, style);`)
			mist := run(`camera.draw(0, rgb, {...style, glow: 0.12});`)
			sum := run(`camera.resize(16, 9); camera.draw(0, rgb, style);`)
			p.shoot("tide", 0, size[0], size[1], `{"hand": true}`)
			hand := promised[float64](p, fmt.Sprintf(`
				const {hand, image, rgb} = window.shot, style = {bands: false, glow: 0, most: 1};
				const began = performance.now();
				for (let i = 0; i < %d; i++) {
					rgb[0] = i;
					hand.draw(0, rgb, style, image);
				}
				return performance.now() - began;`, b.N)) / float64(b.N)
			b.ReportMetric(bare, "ms/bare")
			b.ReportMetric(whole, "ms/frame")
			b.ReportMetric(mist, "ms/mist-frame")
			b.ReportMetric(sum, "ms/sum")
			b.ReportMetric(hand, "ms/hand-frame")
			b.ReportMetric(whole/bare, "x/bare")
		})
	}
}

// BenchmarkPageFade runs fades of 4 s on a phone's page and counts the pictures that it
// shows of them a second, and what they cost: processor time of the browser for each, which
// says on a busy machine too how many there can be. Beside it what a phone loads first.
func BenchmarkPageFade(b *testing.B) {
	s := newLitSet(b, 151, "deep-end")
	p := openCamera(b, s)
	ask[any](p, countPictures)
	looks := []string{"tide", "warden"}
	fade := func(i int) (pictures, across int) {
		ask[any](p, `window.pictures = window.across = 0; return null;`)
		s.do("cue", fmt.Sprintf(`{"look": %q, "fade": "4 s"}`, looks[i%2]))
		outside.Await(b, "the end of the fade", func() bool { return s.state().Fade == nil })
		shown := ask[[]int](p, `return [window.pictures, window.across];`)
		return shown[0], shown[1]
	}
	fade(1) // the page finds how it draws best
	total, wide, before := 0, 0, startedCost()
	b.ResetTimer()
	for i := range b.N {
		pictures, across := fade(i)
		total, wide = total+pictures, wide+across
	}
	b.ReportMetric(float64((startedCost()-before).Milliseconds())/float64(max(total, 1)), "cpu-ms/picture")
	b.ReportMetric(float64(total)/float64(b.N)/4, "pictures/s")
	b.ReportMetric(float64(wide)/float64(max(total, 1)), "pixels-across")
	b.ReportMetric(float64(len(s.packed("/api/light")))/1000*50/float64(len(s.stage.Plan.Cells)), "kB/50-cells")
}

// packed gets a path as a browser does, in gzip.
func (s *litSet) packed(path string) []byte {
	s.t.Helper()
	req, err := http.NewRequestWithContext(s.t.Context(), http.MethodGet, s.url+path, nil)
	require.NoError(s.t, err)
	req.Header.Set("Accept-Encoding", "gzip")
	res, err := http.DefaultClient.Do(req)
	require.NoError(s.t, err)
	defer res.Body.Close()
	require.Equal(s.t, "gzip", res.Header.Get("Content-Encoding"))
	body, err := io.ReadAll(res.Body)
	require.NoError(s.t, err)
	return body
}
