package main

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
	"linkboy/cues/track"
)

// BenchmarkMeter reads the demo's largest location: the first time, when all planes are
// new; again in the same light, the baseline; and from frame to frame of a fade four times
// a second, in which the receptors of groups turn.
func BenchmarkMeter(b *testing.B) {
	dir := b.TempDir() + "/tidewater"
	require.NoError(b, writeShow("tidewater", dir))
	show, problems := showfile.Load(dir)
	require.False(b, problems.HasErrors())
	place, _ := compile.Location(show, show.Location("deep-end"))
	set, problems := stage.Build(place)
	require.NotNil(b, set, problems)
	m, err := transport.Compute(context.Background(), &set.Place, transport.Options{Texels: 4000, Rays: 16, Bounces: 1})
	require.NoError(b, err)
	lit := transport.NewLit(&set.Place, m)
	setup := place.Location.Setups[0]
	place = place.WithSetup(setup)
	stillOf := func(name string) track.Still {
		s, _, problems := place.Still(show.Look(place.Location, name))
		require.False(b, problems.HasErrors())
		return s
	}
	warden := place.Frame(stillOf("warden"), true)
	fade, err := place.Fade(stillOf("warden"), stillOf("surfacing"), compile.Timing{Fade: 5 * time.Second})
	require.NoError(b, err)
	newMeter := func() *meter.Meter {
		r, err := meter.New(set, lit, setup)
		require.NoError(b, err)
		return r
	}
	b.Run("again", func(b *testing.B) {
		b.ReportAllocs()
		r := newMeter()
		for b.Loop() {
			r.Set(warden)
			r.Report(meter.Shown{Look: "warden"})
		}
	})
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			r := newMeter()
			r.Set(warden)
			r.Report(meter.Shown{Look: "warden"})
		}
	})
	b.Run("fading", func(b *testing.B) {
		b.ReportAllocs()
		r, still, k := newMeter(), place.Dark(), 0
		for b.Loop() {
			k++
			fade.At(float64(k%2000)/2000, still)
			r.Set(place.Frame(still, true))
			r.Report(meter.Shown{Look: "surfacing"})
		}
	})
	b.Run("sheet", func(b *testing.B) { // how smooth the fades of the cue sheet are: once a set-up
		b.ReportAllocs()
		for b.Loop() {
			place.CueFades()
		}
	})
}
