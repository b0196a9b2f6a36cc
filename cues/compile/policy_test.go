package compile_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// requireMix checks that a cell holds the mix of a recipe made for it alone.
func requireMix(t *testing.T, p *compile.Place, s track.Still, cell int, want recipe.Policy, asked colour.XY, level colour.Level) {
	t.Helper()
	c := p.Cells[cell]
	sensor, err := camera.SensorByName(camera.DefaultSensor)
	require.NoError(t, err)
	view, err := sensor.BalanceAt(p.Show.Camera.Balance)
	require.NoError(t, err)
	r, err := recipe.New(c.Lamp.Lamp.Type, c.Lamp.Lamp.Mode, want, recipe.NewReference(view))
	require.NoError(t, err)
	drives := r.Solve(asked, level, p.Balance).Drives
	for i := range c.N {
		require.Equal(t, float32(drives[i]), s[c.First+i], "cell %d, emitter %d", cell, i)
	}
}

// The policy nearest to a cell wins: its lamp's, the group's it is painted through, the
// look's, that of the look it starts from, brightest.
func TestNearestPolicyWins(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := newRig(t)
	r.lamp("panel-rgbacl", "16-bit", "plain", "all")
	r.lamp("panel-rgbacl", "16-bit", "seen", "all")
	r.lamp("panel-rgbacl", "16-bit", "plain", "all").Lamp.Policy = recipe.Brightest
	r.loc.Group("seen").Policy = recipe.ForCamera
	at := colour.White{CCT: colour.CCT{T: 4300}}
	asked, err := at.Chromaticity(colour.XY{})
	require.NoError(t, err)

	base := r.look("base", solid("plain", at, 0.3), solid("seen", at, 0.3))
	worn := r.look("worn", solid("plain", at, 0.3), solid("seen", at, 0.3))
	worn.Policy = recipe.Truest
	from := r.look("from")
	from.From = "worn"
	over := r.look("over", solid("all", at, 0.3))
	over.From = "worn"
	p := r.place()

	for look, want := range map[*cues.Look][3]recipe.Policy{
		base: {recipe.Brightest, recipe.ForCamera, recipe.Brightest},
		worn: {recipe.Truest, recipe.ForCamera, recipe.Brightest},
		from: {recipe.Truest, recipe.ForCamera, recipe.Brightest},
		over: {recipe.Truest, recipe.Truest, recipe.Brightest}, // through a group that says nothing
	} {
		s := r.still(p, look)
		for cell, policy := range want {
			requireMix(t, p, s, cell, policy, asked, 0.3)
		}
	}
}

// Paint that gives no colour does not take a cell out of the group that gave one.
func TestPolicyStaysWithTheColour(t *testing.T) {
	r := newRig(t)
	r.lamp("panel-rgbacl", "16-bit", "true", "plain")
	r.loc.Group("true").Policy = recipe.Truest
	at := colour.White{CCT: colour.CCT{T: 4300}}
	look := r.look("dimmed", solid("true", at, 0.8), cues.Paint{On: "plain", Level: share(0.2)})
	p := r.place()
	requireMix(t, p, r.still(p, look), 0, recipe.Truest, p.Balance, 0.2)
}

// A show's own sensor is the one that counts.
func TestPolicyUsesTheShowsSensor(t *testing.T) {
	stills := map[string]track.Still{}
	for _, name := range []string{"", "bayer-a", "three-chip"} {
		r := newRig(t)
		r.lamp("panel-rgbacl", "16-bit", "edge")
		look := r.look("k", solid("edge", colour.HueSat{Hue: 186, Sat: 0.8}, 0.4))
		look.Policy = recipe.ForCamera
		if name != "" {
			sensor, err := camera.SensorByName(name)
			require.NoError(t, err)
			r.show.Camera.Sensor = sensor
		}
		stills[name] = r.still(r.place(), look)
	}
	require.Equal(t, stills["bayer-a"], stills[""])
	require.NotEqual(t, stills["bayer-a"], stills["three-chip"])
}

// What a camera's match costs the eye is told, as a cost and not as a miss.
func TestReportTellsTheCostOfTheCamera(t *testing.T) {
	r := newRig(t)
	r.lamp("tube-rgb-2ft", "8-cell-16-bit", "edge")
	look := r.look("k", solid("edge", colour.White{CCT: colour.CCT{T: 3200}}, 0.4))
	look.Policy = recipe.ForCamera
	p := r.place()
	_, report, problems := p.Still(look)
	require.Empty(t, problems)
	require.Empty(t, report.Misses)
	require.Len(t, report.Costs, 1)
	cost := report.Costs[0]
	require.Equal(t, 8, cost.Cells)
	require.InDelta(t, cost.Asked.UV().Distance(cost.Reached.UV()), cost.DeltaUV, 1e-12)
	require.Greater(t, cost.DeltaUV, 0.002)
	got := wire(p, r.still(p, look))
	require.Less(t, got[0].XY().UV().Distance(cost.Reached.UV()), 0.0005, "from the bytes")
}

// What the camera cannot be shown is a miss, with the stops it is off.
func TestReportTellsWhatTheCameraMisses(t *testing.T) {
	r := newRig(t)
	r.lamp("key-bicolour", "16-bit", "key")
	look := r.look("k", solid("key", colour.White{CCT: colour.CCT{T: 4300}}, 0.4))
	look.Policy = recipe.ForCamera
	p := r.place()
	_, report, _ := p.Still(look)
	require.Len(t, report.Misses, 1)
	require.Greater(t, report.Misses[0].Stops, 0.0)
	require.Less(t, report.Misses[0].Stops, 1.0)
}

// A lamp that a camera does not see is mixed brightest, with a warning.
func TestPolicyThatCannotBe(t *testing.T) {
	r := newRig(t)
	kind := *r.types["panel-rgbacl"]
	kind.Emitters = slices.Clone(kind.Emitters)
	kind.Emitters[0].Spectrum = spectra.Ohno(820, 5)
	r.types["panel-dark"] = &kind
	r.lamp("panel-dark", "16-bit", "edge")
	r.lamp("panel-dark", "16-bit", "edge")
	look := r.look("k", solid("edge", colour.White{CCT: colour.CCT{T: 4300}}, 0.4))
	look.Policy = recipe.ForCamera
	p := r.place()
	s, _, problems := p.Still(look)
	require.Len(t, problems, 1)
	require.Equal(t, cues.CodePolicyImpossible, problems[0].Code)
	require.Equal(t, cues.Warning, problems[0].Severity)
	requireMix(t, p, s, 0, recipe.Brightest, p.Balance, 0.4)
}

// Units of one type with emitters of their own do not share them with others, though
// they share the mode.
func TestUnitsKeepTheirEmitters(t *testing.T) {
	r := newRig(t)
	worn := *r.types["panel-rgbacl"]
	worn.Emitters = slices.Clone(worn.Emitters)
	worn.Emitters[2].Lumens *= 0.5
	r.types["panel-worn"] = &worn
	r.lamp("panel-rgbacl", "16-bit", "edge")
	r.lamp("panel-worn", "16-bit", "edge")
	look := r.look("k", solid("edge", colour.HueSat{Hue: 240, Sat: 1}, 1))
	look.Policy = recipe.Truest
	p := r.place()
	r.still(p, look)
	require.InEpsilon(t, p.Cells[0].Mix().Emitters()[2].Full.Y, 2*p.Cells[1].Mix().Emitters()[2].Full.Y, 1e-12)
}

// In the camera, unlike lamps that match agree within 0.05 stop in each channel, in their
// 16-bit bytes, wherever both reach the colour. What it costs the eye is logged.
func TestUnlikeLampsAgreeInTheCameraFromBytes(t *testing.T) {
	r := newRig(t)
	tube := r.lamp("tube-rgb-2ft", "1-cell-16-bit", "edge")
	panel := r.lamp("panel-rgbacl", "16-bit", "edge")
	r.loc.Group("edge").Match = cues.MatchGroup
	r.loc.Group("edge").Policy = recipe.ForCamera
	p := r.place()
	sensor, err := camera.SensorByName("bayer-a")
	require.NoError(t, err)
	view, err := sensor.BalanceAt(4300)
	require.NoError(t, err)
	seen := [2]camera.Prepared{preparedFor(view, tube.Lamp.Type), preparedFor(view, panel.Lamp.Type)}
	worst, eye, n, out := 0.0, 0.0, 0, 0
	random := rand.New(rand.NewPCG(1, 2))
	for n < 1000 {
		asked := inBoth(random, p)
		s, report, _ := p.Still(&cues.Look{Paint: []cues.Paint{solid("edge", colour.Chroma{XY: asked}, 0.5)}})
		if len(report.Misses) > 0 {
			out++
			continue
		}
		n++
		for _, c := range report.Costs {
			eye = max(eye, c.DeltaUV)
		}
		a, b := seen[0].Mix(drivesOf(p, s, 0)), seen[1].Mix(drivesOf(p, s, 1))
		for _, pair := range [][2]float64{{a.R, b.R}, {a.G, b.G}, {a.B, b.B}} {
			worst = max(worst, math.Abs(math.Log2(pair[0]/pair[1])))
		}
	}
	t.Logf("1000 colours, %d more out of reach for the camera: channels within %.4f stop; to the eye up to %.4f in u'v' from what was asked", out, worst, eye)
	require.Less(t, worst, 0.05)
	require.Less(t, out, 150)
}

// preparedFor gives what a view sees of a lamp's emitters at full.
func preparedFor(view camera.View, kind *lamp.Type) camera.Prepared {
	var lights []spectra.Spectrum
	for _, e := range kind.Emitters {
		lights = append(lights, e.Spectrum.Scale(e.Lumens/e.Spectrum.XYZ().Y))
	}
	return view.Prepare(lights...)
}

// drivesOf reads the drives of a lamp's first cell back from the bytes that a still makes.
func drivesOf(p *compile.Place, s track.Still, lampIndex int) []float64 {
	l := p.Location.Rig[lampIndex]
	frame := p.Frame(s, false)
	for i, u := range p.Layout.Universes {
		if u.Address == l.Address.Port {
			drives := decoded(l, frame[i][l.Address.Slot-1:])
			return drives[0][:]
		}
	}
	return nil
}

// A change of policy alone, in a fade, keeps the light: colour, level and the sum of the
// drives move evenly in the bytes of every frame, with no step at either end.
func TestPolicySwitchHasNoStep(t *testing.T) {
	switched := 0
	for _, kind := range []string{"panel-rgbacl", "tube-rgbww-4ft"} {
		for _, form := range []colour.Form{colour.White{CCT: colour.CCT{T: 3200}}, colour.HueSat{Hue: 32, Sat: 0.6}, colour.HueSat{Hue: 250, Sat: 0.7}} {
			r := newRig(t)
			r.lamp(kind, wideModes()[kind], "edge")
			plain := r.look("plain", solid("edge", form, 0.4))
			true1 := r.look("true", solid("edge", form, 0.4))
			true1.Policy = recipe.Truest
			p := r.place()
			from, to := r.still(p, plain), r.still(p, true1)
			if slices.Equal(from, to) {
				continue // a colour of which the lamp has one mix
			}
			switched++
			fade, err := p.Fade(from, to, compile.Timing{Fade: 2 * time.Second})
			require.NoError(t, err)
			requireEven(t, p, fade)
		}
	}
	require.GreaterOrEqual(t, switched, 5)
}

// requireEven plays a fade whose ends have the same light at 44 frames a second and reads
// its bytes.
func requireEven(t *testing.T, p *compile.Place, fade *track.Fade) {
	t.Helper()
	const frames = 88
	still := p.Layout.NewStill()
	light := wire(p, fade.From)[0]
	sum := func() (total float64) {
		for _, d := range drivesOf(p, still, 0) {
			total += d
		}
		return total
	}
	fade.At(0, still)
	first := sum()
	fade.At(1, still)
	whole := math.Abs(sum() - first)
	last := first
	for k := range frames + 1 {
		fade.At(float64(k)/frames, still)
		got := wire(p, still)[0]
		require.Less(t, got.XY().UV().Distance(light.XY().UV()), 0.0005, "frame %d", k)
		require.InEpsilon(t, light.Y, got.Y, 0.002, "frame %d", k)
		now := sum()
		require.LessOrEqual(t, math.Abs(now-last), 3*whole/frames+0.0005, "frame %d", k)
		last = now
	}
}

// With colours that change too, each under its own policy, no frame jumps: no drive moves
// in one frame by more than a few times its fair share.
func TestPolicySwitchWithAColourHasNoStep(t *testing.T) {
	policies := []recipe.Policy{recipe.Brightest, recipe.Truest, recipe.ForCamera}
	for _, a := range policies {
		for _, b := range policies {
			r := newRig(t)
			r.lamp("panel-rgbacl", "16-bit", "edge")
			one := r.look("one", solid("edge", colour.White{CCT: colour.CCT{T: 3200}}, 0.5))
			two := r.look("two", solid("edge", colour.HueSat{Hue: 186, Sat: 0.8}, 0.4))
			one.Policy, two.Policy = a, b
			p := r.place()
			fade, err := p.Fade(r.still(p, one), r.still(p, two), compile.Timing{Fade: 2 * time.Second})
			require.NoError(t, err)
			still := p.Layout.NewStill()
			const frames = 88
			var before []float64
			for k := range frames + 1 {
				fade.At(float64(k)/frames, still)
				now := drivesOf(p, still, 0)
				for i := range before {
					require.LessOrEqual(t, math.Abs(now[i]-before[i]), 8.0/frames, "%s to %s, frame %d, emitter %d", a, b, k, i)
				}
				before = now
			}
		}
	}
}

// A place is asked by several at once, also for a policy that none of its looks has named.
func TestPoliciesFromManyGoroutines(t *testing.T) {
	r := newRig(t)
	r.lamp("panel-rgbacl", "16-bit", "edge")
	p := r.place()
	var wait sync.WaitGroup
	stills := make([]track.Still, 6)
	for i := range stills {
		wait.Go(func() {
			look := cues.Look{Paint: []cues.Paint{solid("edge", colour.White{CCT: colour.CCT{T: 4300}}, 0.3)}}
			look.Policy = []recipe.Policy{recipe.Truest, recipe.ForCamera}[i%2]
			stills[i], _, _ = p.Still(&look)
		})
	}
	wait.Wait()
	for i := range stills {
		require.NotNil(t, stills[i])
		require.Equal(t, stills[i%2], stills[i])
	}
}
