package emitters_test

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/emitters"
)

// points reads a curve at some controls.
func points(c emitters.Curve, controls ...float64) []emitters.Point {
	var out []emitters.Point
	for _, x := range controls {
		out = append(out, emitters.Point{Control: x, Light: c.Light(x)})
	}
	return out
}

func throughOf(t testing.TB, base string, p []emitters.Point) emitters.Curve {
	name, err := emitters.Through(base, p)
	require.NoError(t, err)
	return curveOf(t, name)
}

// A power law comes out whichever power law is the base, and every curve comes
// out of itself: that is what the pieces are (powers of the base's light).
func TestThroughKeepsPowerLaws(t *testing.T) {
	powers := []string{"linear", "square", "gamma 2.2"}
	for _, base := range emitters.CurveNames() {
		for _, truth := range append([]string{base}, powers...) {
			if base == "s" && truth != "s" {
				continue
			}
			want := curveOf(t, truth)
			got := throughOf(t, base, points(want, 0.05, 0.1, 0.25, 0.5, 0.75))
			for v := 1; v <= 1000; v++ {
				x := float64(v) / 1000
				require.InEpsilon(t, want.Light(x), got.Light(x), 1e-5, "%s through %s at %v", base, truth, x)
			}
		}
	}
}

// Points of an s-curve laid over a straight base: within 0.06 stop between
// 5 % and full, where the points of a meter stand (5, 10, 25, 50, 75, 100 %).
func TestThroughFollowsAnotherShape(t *testing.T) {
	want := curveOf(t, "s")
	got := throughOf(t, "linear", points(want, 0.05, 0.1, 0.25, 0.5, 0.75))
	for v := 50; v <= 1000; v++ {
		x := float64(v) / 1000
		require.InDelta(t, 0, math.Log2(got.Light(x)/want.Light(x)), 0.06, "at %v", x)
	}
}

// The curve runs through its points, rises and is inverted by Control.
func TestThroughInverts(t *testing.T) {
	want := []emitters.Point{{0.04, 0.0008}, {0.2, 0.01}, {0.21, 0.3}, {0.9, 0.31}}
	for _, base := range emitters.CurveNames() {
		c := throughOf(t, base, want)
		for _, p := range want {
			require.InEpsilon(t, p.Light, c.Light(p.Control), 1e-9, base)
			require.InEpsilon(t, p.Control, c.Control(p.Light), 1e-9, base)
		}
		last := 0.0
		for v := 1; v <= 65535; v++ {
			x := float64(v) / 65535
			light := c.Light(x)
			if light <= last {
				require.FailNow(t, "not rising", "%s at %v", base, x)
			}
			last = light
			if back := c.Control(light); math.Abs(back-x) > 1e-6 {
				require.InDelta(t, x, back, 1e-6, base)
			}
		}
		for _, end := range []float64{0, 1} {
			require.Equal(t, end, c.Light(end))
			require.Equal(t, end, c.Control(end))
		}
		require.Zero(t, c.Light(math.NaN()))
		require.Zero(t, c.Control(-1))
		require.Equal(t, 1.0, c.Light(2))
	}
}

func TestThroughName(t *testing.T) {
	name, err := emitters.Through("square", []emitters.Point{{0.1, 0.009}, {0.5, 0.24}})
	require.NoError(t, err)
	require.Equal(t, "square through 10%:0.9% 50%:24%", name)
	name, err = emitters.Through("", []emitters.Point{{0.5, 0.24}})
	require.NoError(t, err)
	require.Equal(t, "linear through 50%:24%", name)
	name, err = emitters.Through("s", nil)
	require.NoError(t, err)
	require.Equal(t, "s", name)
}

// Each name that is no curve says which part of it and what to write.
func TestThroughRefuses(t *testing.T) {
	for name, want := range map[string]string{
		"cube through 50%:20%":                       `unknown dimmer curve "cube"`,
		"square through ":                            "through 0 points",
		"square through 50%":                         "no point of it",
		"square through 50:20":                       "no point of it",
		"square through 0%:0%":                       "no point of it",
		"square through 100%:100%":                   "no point of it",
		"square through NaN%:20%":                    "no point of it",
		"square through 50%:24% 40%:30%":             "rising order",
		"square through 40%:24% 50%:24%":             "rising order",
		"square through 50%:24% through 60%:30%":     "no point of it",
		"s through 99.9999999%:50% 99.99999999%:60%": "too close",
		"s through " + strings.Repeat("1%:1% ", 33):  "33 points; give 1 to 32",
	} {
		_, err := emitters.CurveByName(name)
		require.ErrorContains(t, err, want, name)
	}
}

// A curve is made once: reading bytes through it costs no allocation. Many
// curves at once from many goroutines are all right too.
func TestThroughIsKept(t *testing.T) {
	const name = "square through 10%:0.9% 50%:24%"
	curveOf(t, name)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		c, _ := emitters.CurveByName(name)
		c.Control(c.Light(0.3))
	}))
	var all sync.WaitGroup
	for g := range 4 {
		all.Go(func() {
			for i := range 400 {
				light := 1 + float64((i+g)%400)/10
				c, err := emitters.CurveByName(fmt.Sprintf("square through 50%%:%g%%", light))
				if err != nil || math.Abs(c.Light(0.5)-light/100) > 1e-12 {
					t.Errorf("light %v: %v", light, err)
				}
			}
		})
	}
	all.Wait()
}

// FuzzThrough: a name either makes a curve that rises from 0 to 1, or says why not.
func FuzzThrough(f *testing.F) {
	f.Add("square through 10%:0.9% 50%:24%")
	f.Add("s through 99%:98% 99.5%:99%")
	f.Add("linear through 1e-300%:1e-300%")
	f.Add("gamma 2.2 through 0x1p-3%:5%")
	f.Fuzz(func(t *testing.T, name string) {
		c, err := emitters.CurveByName(name)
		if err != nil {
			require.Nil(t, c)
			return
		}
		last := 0.0
		for v := range 101 {
			light := c.Light(float64(v) / 100)
			require.True(t, light >= last && light <= 1, "%q: %v at %d %%", name, light, v)
			control := c.Control(float64(v) / 100)
			require.True(t, control >= 0 && control <= 1, "%q", name)
			last = light
		}
		require.Equal(t, 1.0, last, name)
	})
}
