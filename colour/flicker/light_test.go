package flicker_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/flicker"
)

// The light of an exposure of a lamp that keeps some of it between the pulses is the
// integral of its light; at the duty for a share of light, whole periods give that share.
func TestLightBetweenPulses(t *testing.T) {
	for _, between := range []float64{0, 0.2, 0.7} {
		for _, light := range []float64{0.8, 0.9, 1} {
			p := flicker.PWM{Hz: 700, Duty: flicker.DutyFor(light, between)}
			at := func(seconds float64) float64 { // light from 0 on, in periods of full light
				whole, rest := math.Modf(seconds * p.Hz)
				return whole*light + min(rest, p.Duty) + between*max(0, rest-p.Duty)
			}
			require.InDelta(t, light, at(1/p.Hz), 1e-12)
			least, most := overStarts(func(from, to float64) float64 { return at(to) - at(from) }, 1/p.Hz, 0.0123)
			gotLeast, gotMost := p.Light(0.0123, between)
			require.InDelta(t, least, gotLeast, 1e-3)
			require.InDelta(t, most, gotMost, 1e-3)
		}
	}
	require.Zero(t, flicker.DutyFor(0.1, 0.2), "what is left alone is more")
	require.Zero(t, flicker.DutyFor(0.5, 1))
	require.Equal(t, 1.0, flicker.DutyFor(1, 0.5))
}
