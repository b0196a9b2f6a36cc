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
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/colour/camera"
	"linkboy/colour/photometry"
	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
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
	keepLight(t, dir)
	bind := netip.AddrFrom4([4]byte{127, 0, 3, byte(host)})
	s := &litSet{daemon: startDaemon(t, "demo", "--show", dir, "--location", location, "--listen", "127.0.0.1:0", "--artnet-bind", bind.String())}
	s.awaitBounced()
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

// keepLight has a show keep its light where every test finds it, so that only one of them
// waits for a place.
func keepLight(t testing.TB, dir string) {
	t.Helper()
	shared := filepath.Join(os.Getenv("XDG_CACHE_HOME"), "tests")
	require.NoError(t, os.MkdirAll(shared, 0o755))
	require.NoError(t, os.Symlink(shared, filepath.Join(dir, cacheDir)))
}

// awaitBounced waits for the light of the location to be whole.
func (s *daemon) awaitBounced() {
	s.t.Helper()
	outside.AwaitWork(s.t, "the light is computed", func() bool {
		l := s.state().Light
		return l != nil && l.Stage == string(transport.Bounced)
	})
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
// page gets, from the set-up of an index, in a haze that takes a share of the light.
func (s *litSet) reference(look string, setup, width, height int, haze float64) (*picture.Frame, *picture.Shot) {
	s.t.Helper()
	plan := s.stage.Plan
	still, _, problems := plan.Still(plan.Show.Look(plan.Location, look))
	require.False(s.t, problems.HasErrors(), problems.Error())
	view, err := plan.Show.Camera.View()
	require.NoError(s.t, err)
	cells := make([]camera.Response, len(plan.Cells))
	stage.NewEye(s.stage, view).See(plan.Frame(still, true), cells)
	shot, err := picture.NewShot(s.t.Context(), s.lit, s.stage.Place.Sources, s.stage.Lamps, s.stage.Camera(plan.Location.Setups[setup]), width, height)
	require.NoError(s.t, err)
	if haze > 0 {
		air, err := s.stage.Haze(plan.Location.Setups[setup], haze).Compute(s.t.Context())
		require.NoError(s.t, err)
		shot = shot.InHaze(air)
	}
	light, frame := picture.NewLight(s.lit.Map()), shot.NewFrame()
	light.Set(s.lit.Map(), cells)
	shot.Expose(light, plan.Show.Camera.KeyLux(), frame)
	return frame, shot
}

// cameraModules makes window.shoot: what the page's camera draws of a look at a size, as
// base64 of its pixels. options are those of a style, and layers, the most of a texture.
const cameraModules = `
	window.shoot = async (look, ...rest) => {
		const {parseSeenFrame} = await import('/camera/seen.js');
		const bytes = async (path) => (await fetch(path)).arrayBuffer();
		const {rgb} = parseSeenFrame(await bytes('/api/looks/' + look + '/seen'));
		const scene = await (await fetch('/api/scene')).json(), [setup, , , {haze = 0}] = rest;
		const air = haze && await bytes('/api/haze?setup=' + scene.setups[setup].name + '&share=' + haze);
		return shootAt(scene, await bytes('/api/light'), rgb, ...rest, air);
	};
	window.shootAt = async (scene, light, rgb, setup, width, height, options = {}, air = null) => {
		const [{createCamera}, {PLAIN}, {parseMap}] = await Promise.all(['/camera/camera.js', '/camera/style.js', '/camera/map.js'].map((m) => import(m)));
		if (options.hand) {
			const {createHand} = await import('/camera/hand.js');
			const hand = createHand(scene, parseMap(light)), image = new ImageData(width, height);
			if (air) hand.takeAir({setup, haze: options.haze, map: parseMap(air)});
			hand.draw(setup, rgb, {...PLAIN, ...options}, image);
			window.shot = {hand, image, rgb};
			return textOf(image.data);
		}
		const canvas = document.createElement('canvas');
		canvas.width = width;
		canvas.height = height;
		const camera = createCamera(canvas, {layers: options.layers});
		camera.load(scene, parseMap(light));
		if (air) camera.takeAir({setup, haze: options.haze, map: parseMap(air)});
		camera.draw(setup, rgb, {...PLAIN, ...options}, options);
		window.shot = {camera, rgb};
		return textOf(camera.image().data);
	};
	const textOf = (data) => {
		let text = '';
		for (let i = 0; i < data.length; i += 32768) text += String.fromCharCode(...data.subarray(i, i + 32768));
		return btoa(text);
	};
`

// shoot draws with the page's camera.
func (p *phone) shoot(look string, setup, width, height int, options string) *image.NRGBA {
	p.t.Helper()
	return p.drawn(fmt.Sprintf(`shoot(%q, %d, %d, %d, %s)`, look, setup, width, height, options), width, height)
}

// drawn gives the pixels that a call of the camera's modules promises.
func (p *phone) drawn(call string, width, height int) *image.NRGBA {
	p.t.Helper()
	type answer struct{ Pixels, Error string }
	text := promised[answer](p, fmt.Sprintf(`%s
		return %s.then((Pixels) => ({Pixels, Error: ''}), (e) => ({Pixels: '', Error: String(e)}));`, cameraModules, call))
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
	outside.AwaitWork(p.t, "a promise", func() bool { return ask[bool](p, `return window.promised !== undefined;`) })
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

// sameShare compares two pictures away from edges: the share of pixels within so many codes of 255,
// and the share that was compared.
func sameShare(got, want *image.NRGBA, skip []bool, codes int) (share, compared float64) {
	within, all := 0, 0
	for i := range skip {
		if skip[i] {
			continue
		}
		all++
		if mostCode(got.Pix[4*i:], want.Pix[4*i:]) <= codes {
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
		codes   int
		share   float64
		haze    float64
	}{
		{"warden", 0, `{}`, 2, 0.995, 0}, {"tide", 0, `{}`, 2, 0.995, 0}, {"surfacing", 1, `{}`, 2, 0.995, 0},
		{"tide", 0, `{"layers": 7}`, 2, 0.995, 0}, // more layers than a texture holds
		{"tide", 0, `{"hand": true}`, 2, 0.995, 0}, {"surfacing", 1, `{"hand": true}`, 2, 0.995, 0},
		{"warden", 0, `{"hand": true, "bands": true}`, 2, 0.995, 0},
		{"warden", 0, `{"bands": true}`, 2, 0.995, 0},
		{"tide", 0, `{"hand": true, "glow": 0.2}`, 12, 0.95, 0},
		// Glow spreads lamps a pixel thin, of which the two see other shares.
		{"tide", 0, `{"glow": 0.2}`, 12, 0.95, 0},
		{"tide", 0, `{"haze": 0.15}`, 2, 0.995, 0.15}, {"surfacing", 1, `{"haze": 0.4}`, 2, 0.995, 0.4},
		{"tide", 0, `{"haze": 0.15, "hand": true}`, 2, 0.995, 0.15}, {"surfacing", 1, `{"haze": 0.4, "hand": true}`, 2, 0.995, 0.4},
	} {
		frame, shot := s.reference(c.look, c.setup, width, height, c.haze)
		if strings.Contains(c.options, "glow") {
			picture.Glow(frame, 0.2)
		}
		want := picture.NewCurve(over, view.Matrix()).Develop(frame, nil)
		if strings.Contains(c.options, "bands") {
			want = picture.DevelopBands(frame, over)
		}
		got := p.shoot(c.look, c.setup, width, height, c.options)
		share, compared := sameShare(got, want, edges(shot), c.codes)
		t.Logf("%s from set-up %d %s: %.3f %% within %d/255, of the %.1f %% of pixels away from edges", c.look, c.setup, c.options, 100*share, c.codes, 100*compared)
		if dir := pictureDir(); dir != "" {
			require.NoError(t, writePNG(filepath.Join(dir, fmt.Sprintf("same-%s-%d-page.png", c.look, c.setup)), got))
			require.NoError(t, writePNG(filepath.Join(dir, fmt.Sprintf("same-%s-%d-go.png", c.look, c.setup)), want))
		}
		require.GreaterOrEqual(t, share, c.share, "%s %s", c.look, c.options)
		require.Greater(t, compared, 0.8)
	}
}

// Every shape of surface and of lamp, coloured, two-sided and hidden ones too.
func TestPageDrawsEveryShape(t *testing.T) {
	const width, height = 480, 270
	s := newLitSet(t, 153, "deep-end")
	p := openPhone(t, browser(t), s.url)
	set := shapes(t, s.stage.Plan)
	set.Plan.Location.Setups[0].Own = cues.Camera{Balance: 5600, Stop: 2.8} // not the show's
	m, err := transport.Compute(t.Context(), &set.Place, transport.Options{Texels: 3000})
	require.NoError(t, err)
	require.Equal(t, 3, m.Channels, "a coloured place")
	encoded, err := m.AppendBinary(nil)
	require.NoError(t, err)
	m, err = transport.Parse(encoded)
	require.NoError(t, err)
	scene, err := set.Scene()
	require.NoError(t, err)
	cells := []camera.Response{{RGB: camera.RGB{R: 4000, G: 3000, B: 2000}}, {RGB: camera.RGB{R: 100, G: 900, B: 2500}}, {RGB: camera.RGB{R: 800, G: 60, B: 30}}, {RGB: camera.RGB{R: 90, G: 200, B: 400}}}
	rgb := []float64{}
	for _, c := range cells {
		rgb = append(rgb, c.R, c.G, c.B)
	}
	text, err := json.Marshal(map[string]any{"scene": scene, "light": encoded, "rgb": rgb}) // bytes become base64
	require.NoError(t, err)
	ask[any](p, fmt.Sprintf(`window.given = %s; return null;`, text))

	lit := transport.NewLit(&set.Place, m)
	shot, err := picture.NewShot(t.Context(), lit, set.Place.Sources, set.Lamps, set.Camera(set.Plan.Location.Setups[0]), width, height)
	require.NoError(t, err)
	own := set.Plan.Show.Shot(set.Plan.Location.Setups[0])
	view, err := own.View()
	require.NoError(t, err)
	base, err := set.Plan.Show.Camera.View()
	require.NoError(t, err)
	gain := view.Gain(base)
	require.Greater(t, gain.R, gain.B*1.1, "balanced to bluer light, it sees the same light as warmer")
	for i := range cells {
		cells[i].R, cells[i].G, cells[i].B = cells[i].R*gain.R, cells[i].G*gain.G, cells[i].B*gain.B
	}
	light, frame := picture.NewLight(m), shot.NewFrame()
	light.Set(m, cells)
	shot.Expose(light, own.KeyLux(), frame)
	want := picture.NewCurve(own.Over, view.Matrix()).Develop(frame, nil)
	for _, options := range []string{`{}`, `{layers: 3}`, `{hand: true}`} {
		got := p.drawn(fmt.Sprintf(`shootAt(given.scene, Uint8Array.from(atob(given.light), (c) => c.charCodeAt(0)).buffer, new Float32Array(given.rgb), 0, %d, %d, %s)`, width, height, options), width, height)
		share, compared := sameShare(got, want, edges(shot), 2)
		t.Logf("%s: %.3f %% within 2/255, of the %.1f %% of pixels away from edges", options, 100*share, 100*compared)
		if dir := pictureDir(); dir != "" {
			require.NoError(t, writePNG(filepath.Join(dir, "shapes-page.png"), got))
			require.NoError(t, writePNG(filepath.Join(dir, "shapes-go.png"), want))
		}
		require.GreaterOrEqual(t, share, 0.995)
		require.Greater(t, compared, 0.8)
	}
}

// shapes is a place of every shape before the first set-up of a plan, lit by three lamps.
func shapes(t *testing.T, plan *compile.Place) *stage.Stage {
	t.Helper()
	set := &stage.Stage{Plan: plan}
	add := func(s solid.Surface, err error) func(r, g, b float64) {
		require.NoError(t, err)
		return func(r, g, b float64) {
			set.Place.Pieces = append(set.Place.Pieces, transport.Piece{Surface: s, Finish: transport.Finish{R: r, G: g, B: b}, Other: -1})
		}
	}
	type vec = solid.Vec
	add(solid.NewRectangle(vec{X: -3, Y: -4}, vec{X: 20}, vec{Y: 13}))(0.4, 0.35, 0.3)
	add(solid.NewTriangle(vec{X: 1, Y: 5, Z: 0.01}, vec{X: 3}, vec{Z: 3}))(0.2, 0.5, 0.3)
	add(solid.NewDisc(vec{X: 6, Y: 5.5, Z: 1.5}, vec{X: 0.2, Y: -1}, 1))(0.6, 0.2, 0.2)
	add(solid.NewTube(vec{X: 8.5, Y: 3.5}, vec{Z: 2.5}, 0.4))(0.3, 0.3, 0.6)
	add(solid.NewBall(vec{X: 4.5, Y: 2, Z: 0.7}, 0.7))(0.5, 0.5, 0.1)
	// A two-sided sheet, seen from the side that was made second.
	sheet, err := solid.NewRectangle(vec{X: 10, Y: 4}, vec{X: 2, Y: 0.5}, vec{Z: 2})
	require.NoError(t, err)
	n := len(set.Place.Pieces)
	set.Place.Pieces = append(set.Place.Pieces,
		transport.Piece{Surface: sheet.Flipped(), Finish: transport.Finish{R: 0.1, G: 0.1, B: 0.1}, Other: n + 1},
		transport.Piece{Surface: sheet, Finish: transport.Finish{R: 0.2, G: 0.6, B: 0.6}, Other: n})
	// One seen from behind, which is black.
	add(solid.NewRectangle(vec{X: 13, Y: 4}, vec{Z: 1}, vec{X: 1}))(0.9, 0.9, 0.9)

	lamp := func(source transport.Source, face solid.Surface, err error) {
		require.NoError(t, err)
		set.Lamps = append(set.Lamps, picture.Lamp{Face: face, Sources: []int{len(set.Place.Sources)}})
		set.Place.Sources = append(set.Place.Sources, source)
	}
	rectangle := func(s transport.Source) (solid.Surface, error) {
		return solid.NewRectangle(s.Centre.Sub(s.Along.Scale(0.5)).Sub(s.Across.Scale(0.5)), s.Along, s.Across)
	}
	soft := transport.Source{Centre: vec{X: 7, Y: 1, Z: 4.2}, Along: vec{X: 1}, Across: vec{Y: -1}, Facing: vec{Z: -1}, Beam: transport.Lambert{}}
	face, err := rectangle(soft)
	lamp(soft, face, err)
	beam, err := photometry.NewBeamField(1, 25, 45)
	require.NoError(t, err)
	hard := transport.Source{
		Centre: vec{X: 3, Y: 6, Z: 2.5}, Along: vec{X: 0.3}, Across: vec{Z: 0.3}, Facing: vec{Y: -1},
		Beam: transport.Optics{Peak: float64(beam.Peak), Power: beam.Exponent(), Shape: beam.Shape()},
	}
	face, err = rectangle(hard)
	lamp(hard, face, err)
	round := transport.Source{Centre: vec{X: 7.2, Y: 2.4, Z: 0.1}, Along: vec{X: 1.2}}
	face, err = solid.NewTube(vec{X: 6.6, Y: 2.4, Z: 0.1}, round.Along, 0.03)
	lamp(round, face, err)
	// The hard one again, spread wider.
	wide, err := beam.Zoom(40)
	require.NoError(t, err)
	hard.Beam = transport.Optics{Peak: float64(wide.Peak), Power: wide.Exponent(), Shape: wide.Shape()}
	set.Lamps[1].Sources = append(set.Lamps[1].Sources, len(set.Place.Sources))
	set.Place.Sources = append(set.Place.Sources, hard)
	return set
}
