package difference_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// view is a look at a colour under random conditions.
type view struct {
	White      [3]float64 `json:"white"`
	Adapting   float64    `json:"adapting"`
	Background float64    `json:"background"` // percent
	Surround   string     `json:"surround"`
	Discount   bool       `json:"discount"`
	XYZ        [3]float64 `json:"xyz"`
}

// questions is what testdata/colorjs.mjs reads, answers what it writes.
type questions struct {
	XYZ   [][3]float64    `json:"xyz"`
	Labs  [][2][3]float64 `json:"labs"`
	Views []view          `json:"views"`
	CSS   []string        `json:"css"`
}

type answers struct {
	Lab    [][3]float64 `json:"lab"`
	Luv    [][3]float64 `json:"luv"`
	OKLab  [][3]float64 `json:"oklab"`
	DE2000 []float64    `json:"de2000"`
	CAM16  [][7]float64 `json:"cam16"`
	CSS    [][3]float64 `json:"css"`
}

// colorjs asks npm colorjs.io under Node.js. Without them the test is skipped,
// or fails where LINKBOY_REQUIRE_TOOLS is set.
func colorjs(t *testing.T, ask questions) (got answers) {
	t.Helper()
	modules := os.Getenv("LINKBOY_NODE_MODULES")
	if modules == "" {
		modules = filepath.Join("..", "..", ".ci", "node", "node_modules")
	}
	modules, err := filepath.Abs(modules)
	require.NoError(t, err)
	node, err := exec.LookPath("node")
	if err == nil {
		_, err = os.Stat(filepath.Join(modules, "colorjs.io"))
	}
	if err != nil && os.Getenv("LINKBOY_REQUIRE_TOOLS") != "" {
		t.Fatalf("%v; LINKBOY_REQUIRE_TOOLS asks for Node.js and the npm package colorjs.io: run .ci/setup", err)
	}
	if err != nil {
		t.Skipf("%v; this test asks the npm package colorjs.io: run .ci/setup", err)
	}
	in, err := json.Marshal(ask)
	require.NoError(t, err)
	cmd := exec.Command(node, filepath.Join("testdata", "colorjs.mjs"), modules)
	cmd.Stdin = bytes.NewReader(in)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(out, &got))
	return got
}

// randomXYZ is a colour in the cube of a wide RGB space, with near-blacks
// among them.
func randomXYZ(r *rand.Rand) colour.XYZ {
	c, err := colour.ParseCSS(fmt.Sprintf("color(rec2020 %g %g %g)", r.Float64(), r.Float64(), r.Float64()))
	if err != nil {
		panic(err)
	}
	if r.IntN(10) == 0 {
		return c.Scale(1e-3)
	}
	return c
}

// randomCSS is a colour in one of the notations of CSS.
func randomCSS(r *rand.Rand) string {
	in := func(lo, hi float64) float64 { return math.Round((lo+r.Float64()*(hi-lo))*1e4) / 1e4 }
	switch r.IntN(12) {
	case 0:
		return fmt.Sprintf("#%06x", r.IntN(1<<24))
	case 1:
		return fmt.Sprintf("rgb(%d %d %d)", r.IntN(256), r.IntN(256), r.IntN(256))
	case 2:
		return fmt.Sprintf("rgb(%g%% %g%% %g%%)", in(0, 100), in(0, 100), in(0, 100))
	case 3:
		return fmt.Sprintf("hsl(%g %g%% %g%%)", in(0, 360), in(0, 100), in(0, 100))
	case 4:
		return fmt.Sprintf("hwb(%g %g%% %g%%)", in(0, 360), in(0, 50), in(0, 50))
	case 5:
		return fmt.Sprintf("lab(%g %g %g)", in(0, 100), in(-125, 125), in(-125, 125))
	case 6:
		return fmt.Sprintf("lch(%g %g %g)", in(0, 100), in(0, 150), in(0, 360))
	case 7:
		return fmt.Sprintf("oklab(%g %g %g)", in(0, 1), in(-0.4, 0.4), in(-0.4, 0.4))
	case 8:
		return fmt.Sprintf("oklch(%g %g %g)", in(0, 1), in(0, 0.4), in(0, 360))
	}
	spaces := []string{"srgb", "srgb-linear", "display-p3", "a98-rgb", "prophoto-rgb", "rec2020", "xyz-d50", "xyz-d65"}
	return fmt.Sprintf("color(%s %g %g %g)", spaces[r.IntN(len(spaces))], in(-0.1, 1.1), in(-0.1, 1.1), in(-0.1, 1.1))
}

// ask draws the questions; the seed is fixed, so every run asks the same.
func ask(colours int) questions {
	r := rand.New(rand.NewPCG(1931, 1964))
	var q questions
	for range colours {
		c := randomXYZ(r)
		q.XYZ = append(q.XYZ, [3]float64{c.X, c.Y, c.Z})
		lab := func() [3]float64 { return [3]float64{r.Float64() * 100, r.Float64()*200 - 100, r.Float64()*200 - 100} }
		a, b := lab(), lab()
		if r.IntN(2) == 0 { // as near as the formula was made for
			for k := range b {
				b[k] = a[k] + r.NormFloat64()
			}
		}
		q.Labs = append(q.Labs, [2][3]float64{a, b})
		w := colour.XY{X: 0.25 + 0.25*r.Float64(), Y: 0.28 + 0.15*r.Float64()}.XYZ(1)
		c = randomXYZ(r)
		q.Views = append(q.Views, view{
			White: [3]float64{w.X, w.Y, w.Z}, Adapting: math.Pow(10, -2+6*r.Float64()), Background: 1 + 99*r.Float64(),
			Surround: []string{"dark", "dim", "average"}[r.IntN(3)], Discount: r.IntN(2) == 0,
			XYZ: [3]float64{c.X, c.Y, c.Z},
		})
		q.CSS = append(q.CSS, randomCSS(r))
	}
	return q
}

func xyzOf(v [3]float64) colour.XYZ { return colour.XYZ{X: v[0], Y: v[1], Z: v[2]} }

// near is how far the two may be apart: rounding of doubles, no more. Nothing
// differs by 1e-6, so nothing needs a name.
const near = 1e-10

// 10 000 random colours through an implementation of its own: CIELAB, CIELUV
// and OKLab under D65, CIEDE2000 of near and far pairs, CAM16 under as many
// random viewing conditions, and CSS colours of every notation.
func TestAgainstColorjs(t *testing.T) {
	const colours = 10_000
	q := ask(colours)
	got := colorjs(t, q)
	require.Len(t, got.CSS, colours)

	white := colour.D65.XYZ(1)
	for i, v := range q.XYZ {
		c := xyzOf(v)
		lab, luv, ok := difference.LabOf(c, white), difference.LuvOf(c, white), c.OKLab()
		requireNear(t, got.Lab[i], [3]float64{lab.L, lab.A, lab.B}, "Lab of %v", v)
		requireNear(t, got.Luv[i], [3]float64{luv.L, luv.U, luv.V}, "Luv of %v", v)
		requireNear(t, got.OKLab[i], [3]float64{ok.L, ok.A, ok.B}, "OKLab of %v", v)
	}
	for i, p := range q.Labs {
		a, b := difference.Lab{L: p[0][0], A: p[0][1], B: p[0][2]}, difference.Lab{L: p[1][0], A: p[1][1], B: p[1][2]}
		require.InDelta(t, got.DE2000[i], difference.DE2000(a, b), near, "CIEDE2000 of %v", p)
	}
	for i, text := range q.CSS {
		c, err := colour.ParseCSS(text)
		require.NoError(t, err, text)
		requireNear(t, got.CSS[i], [3]float64{c.X, c.Y, c.Z}, "%s", text)
	}
	for i, v := range q.Views {
		eye, err := difference.NewEye(v.viewing())
		require.NoError(t, err)
		seen := eye.See(xyzOf(v.XYZ))
		for k, x := range []float64{seen.J, seen.C, seen.H, seen.M, seen.Q, seen.S, difference.HueQuadrature(seen.H)} {
			require.InDelta(t, got.CAM16[i][k], x, near, "CAM16 %d of %v", k, v)
		}
		requireNear(t, v.XYZ, vector(eye.XYZ(seen)), "way back of %v", v)
	}
}

func vector(c colour.XYZ) [3]float64 { return [3]float64{c.X, c.Y, c.Z} }

// viewing gives v in the words of the package.
func (v view) viewing() difference.Viewing {
	surrounds := map[string]difference.Surround{"dark": difference.Dark, "dim": difference.Dim, "average": difference.Average}
	return difference.Viewing{
		White: xyzOf(v.White), Adapting: v.Adapting, Background: v.Background / 100,
		Surround: surrounds[v.Surround], Discount: v.Discount,
	}
}

func requireNear(t *testing.T, want, got [3]float64, format string, args ...any) {
	t.Helper()
	for k := range want {
		require.InDelta(t, want[k], got[k], near, append([]any{format}, args...)...)
	}
}
