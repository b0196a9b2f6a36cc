package solid_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
)

// A surface made from another's form is that other, to the last bit.
func TestFormMakesTheSameSurface(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 1000 {
		s := anySurface(t, r)
		again, err := s.Form().Surface()
		require.NoError(t, err)
		require.Equal(t, s, again)
	}
	disc, err := solid.NewDisc(vec(r, 1), vec(r, 1), 0.5)
	require.NoError(t, err)
	flipped := disc.Flipped()
	again, err := flipped.Form().Surface()
	require.NoError(t, err)
	require.Equal(t, flipped.Form(), again.Form())
	require.Equal(t, flipped.Normal(vec(r, 1)), again.Normal(vec(r, 1)))
}

func TestFormOfNothing(t *testing.T) {
	for _, f := range []solid.Form{{}, {Shape: 99}, {Shape: solid.Ball}, {Shape: solid.Tube, U: solid.Vec{Z: 1}, Radius: math.NaN()}} {
		_, err := f.Surface()
		require.Error(t, err, "%v", f)
	}
}
