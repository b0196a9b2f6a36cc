package main

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	"io"
	"math"
	"net/http"
	"net/netip"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// set is a demo that computes its light, and what is known of it from outside.
type litSet struct {
	*daemon
	stage *stage.Stage
	lit   *transport.Lit
}

// newLitSet runs the demo at a location until its light is computed. host is as for newStage.
func newLitSet(t testing.TB, host int, location string) *litSet {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "tidewater")
	require.NoError(t, writeShow("tidewater", dir))
	bind := netip.AddrFrom4([4]byte{127, 0, 3, byte(host)})
	s := &litSet{daemon: startDaemon(t, "demo", "--show", dir, "--location", location, "--listen", "127.0.0.1:0", "--artnet-bind", bind.String())}
	s.awaitLight()
	show, problems := showfile.Load(dir)
	require.False(t, problems.HasErrors(), problems.Error())
	place, problems := compile.Location(show, show.Location(location))
	require.NotNil(t, place, problems.Error())
	s.stage, problems = stage.Build(place)
	require.NotNil(t, s.stage, problems.Error())
	m, err := transport.Parse(s.get("/api/light"))
	require.NoError(t, err)
	s.lit = transport.NewLit(&s.stage.Place, m)
	return s
}

// awaitLight waits for the light of the location to be whole.
func (s *litSet) awaitLight() {
	s.t.Helper()
	end := time.Now().Add(6 * patience) // a busy machine computes slowly
	for {
		if l := s.state().Light; l != nil && l.Stage == string(transport.Bounced) {
			return
		}
		require.True(s.t, time.Now().Before(end), "the light is not computed")
		time.Sleep(50 * time.Millisecond)
	}
}

func (s *litSet) get(path string) []byte {
	s.t.Helper()
	res, err := http.Get(s.url + path)
	require.NoError(s.t, err)
	defer res.Body.Close()
	require.Equal(s.t, http.StatusOK, res.StatusCode, path)
	body, err := io.ReadAll(res.Body)
	require.NoError(s.t, err)
	return body
}

// reference is what colour/picture makes of a look's bytes and the light that the
// page gets, from the set-up of an index.
func (s *litSet) reference(look string, setup, width, height int) (*picture.Frame, *picture.Shot) {
	s.t.Helper()
	plan := s.stage.Plan
	still, _, problems := plan.Still(plan.Show.Look(plan.Location, look))
	require.False(s.t, problems.HasErrors(), problems.Error())
	view, err := plan.Show.Camera.View()
	require.NoError(s.t, err)
	cells := make([]camera.Response, len(plan.Cells))
	stage.NewEye(s.stage, view).See(plan.Frame(still, true), cells)
	shot, err := picture.NewShot(s.t.Context(), s.lit, s.stage.Place.Sources, s.stage.Faces, s.stage.Camera(plan.Location.Setups[setup]), width, height)
	require.NoError(s.t, err)
	light, frame := picture.NewLight(s.lit.Map()), shot.NewFrame()
	light.Set(s.lit.Map(), cells)
	shot.Expose(light, plan.Show.Camera.KeyLux(), frame)
	return frame, shot
}

// cameraModules makes window.shoot: what the page's camera draws of a look at a size, as
// base64 of its pixels. options are those of a style, and layers, the most of a texture.
const cameraModules = `
	window.shoot = async (look, setup, width, height, options = {}) => {
		const [{createCamera, PLAIN}, {parseMap}, {parseSeenFrame}] = await Promise.all(
			['/camera/camera.js', '/camera/map.js', '/camera/seen.js'].map((m) => import(m)));
		const canvas = document.createElement('canvas');
		canvas.width = width;
		canvas.height = height;
		const bytes = async (path) => (await fetch(path)).arrayBuffer();
		const camera = createCamera(canvas, {layers: options.layers});
		camera.load(await (await fetch('/api/scene')).json(), parseMap(await bytes('/api/light')));
		const {rgb} = parseSeenFrame(await bytes('/api/looks/' + look + '/seen'));
		camera.draw(setup, rgb, {...PLAIN, ...options});
		window.shot = {camera, rgb};
		const {data} = camera.image();
		let text = '';
		for (let i = 0; i < data.length; i += 32768) text += String.fromCharCode(...data.subarray(i, i + 32768));
		return btoa(text);
	};
`

// shoot draws with the page's camera.
func (p *phone) shoot(look string, setup, width, height int, options string) *image.NRGBA {
	p.t.Helper()
	type answer struct{ Pixels, Error string }
	text := promised[answer](p, fmt.Sprintf(`%s
		return shoot(%q, %d, %d, %d, %s).then((Pixels) => ({Pixels, Error: ''}), (e) => ({Pixels: '', Error: String(e)}));`,
		cameraModules, look, setup, width, height, options))
	require.Empty(p.t, text.Error, "the browser of the test must draw with WebGL 2")
	pixels, err := base64.StdEncoding.DecodeString(text.Pixels)
	require.NoError(p.t, err)
	require.Len(p.t, pixels, 4*width*height)
	return &image.NRGBA{Pix: pixels, Stride: 4 * width, Rect: image.Rect(0, 0, width, height)}
}

// promised is ask for a promise.
func promised[T any](p *phone, body string) (value T) {
	p.t.Helper()
	ask[any](p, `window.promised = undefined; (async () => { `+body+` })().then((v) => { window.promised = JSON.stringify(v); }); return null;`)
	p.await("a promise", `window.promised !== undefined`)
	require.NoError(p.t, json.Unmarshal([]byte(ask[string](p, `return window.promised;`)), &value))
	return value
}

// mostCode is the greatest difference of two pixels, in 8-bit codes.
func mostCode(a, b []uint8) int {
	most := 0
	for c := range 3 {
		most = max(most, int(math.Abs(float64(a[c])-float64(b[c]))))
	}
	return most
}

// edges marks the pixels whose looks meet more than one surface, and their neighbours:
// there two ways of drawing put the edge at other parts of the pixel.
func edges(shot *picture.Shot) []bool {
	out := make([]bool, shot.Width*shot.Height)
	for y := range shot.Height {
		for x := range shot.Width {
			if !shot.Mixed(x, y) {
				continue
			}
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					if i, j := x+dx, y+dy; i >= 0 && j >= 0 && i < shot.Width && j < shot.Height {
						out[j*shot.Width+i] = true
					}
				}
			}
		}
	}
	return out
}

// sameShare compares two pictures away from edges: the share of pixels within 2 codes of 255,
// and the share that was compared.
func sameShare(got, want *image.NRGBA, skip []bool) (share, compared float64) {
	within, all := 0, 0
	for i := range skip {
		if skip[i] {
			continue
		}
		all++
		if mostCode(got.Pix[4*i:], want.Pix[4*i:]) <= 2 {
			within++
		}
	}
	return float64(within) / float64(all), float64(all) / float64(len(skip))
}

// The page's picture is that of `linkboy picture`, made of the same encoded light and the
// same bytes: within 2/255 on 99.5 % of the pixels that lie on one surface. Those on edges
// are left out: each of the two takes four looks of a pixel, but at other points of it.
func TestPageDrawsWhatPictureDraws(t *testing.T) {
	const width, height = 640, 360
	s := newLitSet(t, 141, "deep-end")
	p := openPhone(t, browser(t), s.url)
	view, err := s.stage.Plan.Show.Camera.View()
	require.NoError(t, err)
	over := s.stage.Plan.Show.Camera.Over
	for _, c := range []struct {
		look    string
		setup   int
		options string
	}{
		{"warden", 0, `{}`}, {"tide", 0, `{}`}, {"surfacing", 1, `{}`},
		{"tide", 0, `{"layers": 7}`}, // more layers than a texture holds
		{"warden", 0, `{"bands": true}`},
	} {
		frame, shot := s.reference(c.look, c.setup, width, height)
		want := picture.NewCurve(over, view.Matrix()).Develop(frame, nil)
		if c.options == `{"bands": true}` {
			want = picture.DevelopBands(frame, over)
		}
		got := p.shoot(c.look, c.setup, width, height, c.options)
		share, compared := sameShare(got, want, edges(shot))
		t.Logf("%s from set-up %d %s: %.3f %% within 2/255, of the %.1f %% of pixels away from edges", c.look, c.setup, c.options, 100*share, 100*compared)
		if dir := pictureDir(); dir != "" {
			require.NoError(t, writePNG(filepath.Join(dir, fmt.Sprintf("same-%s-%d-page.png", c.look, c.setup)), got))
			require.NoError(t, writePNG(filepath.Join(dir, fmt.Sprintf("same-%s-%d-go.png", c.look, c.setup)), want))
		}
		require.GreaterOrEqual(t, share, 0.995, "%s %s", c.look, c.options)
		require.Greater(t, compared, 0.8)
	}
}
