package compile_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues/compile"
)

// Out of the dark and into it the chromaticity is that of the lit end: no hue
// swings where it is hardest to see. CIE 1976 u'v'.
func TestDarkKeepsChromaticity(t *testing.T) {
	for kind, mode := range wideModes() {
		p, dark, lit := one(t, kind, mode, colour.HueSat{Hue: 262, Sat: 0.9}, colour.HueSat{Hue: 262, Sat: 0.9}, 0, 1)
		f, err := p.Fade(dark, lit, compile.Timing{Fade: 4 * time.Second})
		require.NoError(t, err)
		end := wire(p, lit)[0].XY().UV()
		cell := make([]colour.XYZ, 1)
		s := p.Layout.NewStill()
		for i := 1; i <= 1000; i++ {
			f.At(float64(i)/1000, s)
			p.Shine(s, cell)
			uv := cell[0].XY().UV()
			require.InDelta(t, end.U, uv.U, 5e-4, "%s at %d", kind, i)
			require.InDelta(t, end.V, uv.V, 5e-4, "%s at %d", kind, i)
		}
	}
}

// A slow fade out of black on 16 bits has no step that can be seen: from 0.15 %
// of the light up a step of a 16-bit channel is 1 % or less, which is about what
// can just be noticed (DICOM PS3.14 / Barten; the fade itself moves up to 1 % a
// frame there).
func TestSlowFadeHasNoBands(t *testing.T) {
	for kind, mode := range wideModes() {
		p, dark, lit := one(t, kind, mode, colour.HueSat{Hue: 32, Sat: 0.92}, colour.HueSat{Hue: 32, Sat: 0.92}, 0, 1)
		f, err := p.Fade(dark, lit, compile.Timing{Fade: time.Minute})
		require.NoError(t, err)
		lights := sampled(p, f, 0)
		full := lights[len(lights)-1].Y
		for i := 1; i < len(lights); i++ {
			if lights[i-1].Y < 0.0015*full {
				continue
			}
			require.LessOrEqual(t, lights[i].Y/lights[i-1].Y-1, 0.02, "%s, frame %d", kind, i)
			require.GreaterOrEqual(t, lights[i].Y, lights[i-1].Y*(1-0.002), "%s turns back, frame %d", kind, i)
		}
	}
}

// Near black, evenly means in stops: the line to black in OKLab is light as the
// cube of the time. From 10 stops under full up, on 16-bit lamps with a dimmer
// curve, no frame moves further from the one before than that by more than 1 %
// (a just noticeable step, DICOM PS3.14) in a slow fade and 4 % in a quick one,
// where the frames themselves are further apart, and the light is nowhere off
// by more than a fifteenth of a stop.
func TestEvenInStopsNearBlack(t *testing.T) {
	colour := colour.HueSat{Hue: 32, Sat: 0.8}
	for kind, mode := range wideModes() {
		if kind == "puck-rgbw" {
			continue // linear: its own steps are wider there
		}
		for _, level := range []float64{1, 0.1, 0.01} {
			p, dark, lit := one(t, kind, mode, colour, colour, 0, level)
			for seconds, most := range map[int]float64{1: 0.057, 4: 0.042, 30: 0.0143} { // in stops
				f, err := p.Fade(dark, lit, compile.Timing{Fade: time.Duration(seconds) * time.Second})
				require.NoError(t, err)
				lights := sampled(p, f, 0)
				last := float64(len(lights) - 1)
				full, before := lights[len(lights)-1].Y, math.NaN()
				for i, light := range lights {
					at := float64(i) / last
					want := full * at * at * at
					if want < full/level/1024 {
						continue
					}
					off := math.Log2(light.Y / want)
					require.InDelta(t, 0, off, 1.0/15, "%s at %g, %d s, frame %d", kind, level, seconds, i)
					require.False(t, math.Abs(off-before) > most, "%s at %g, %d s, frame %d: %+.4f stops beside the way, %+.4f before", kind, level, seconds, i, off, before)
					before = off
				}
			}
		}
	}
}
