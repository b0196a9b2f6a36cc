package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

func TestNewCellRefuses(t *testing.T) {
	ok := emitters.Emitter{Name: "ok", Full: colour.XYZ{X: 1, Y: 1, Z: 1}}
	for name, row := range map[string]struct {
		emitters []emitters.Emitter
		want     error
		text     string
	}{
		"no emitter":        {nil, emitters.ErrCount, "not 0"},
		"nine emitters":     {make([]emitters.Emitter, 9), emitters.ErrCount, "not 9"},
		"no light":          {[]emitters.Emitter{ok, {Name: "dark"}}, emitters.ErrLight, `emitter 2 ("dark")`},
		"no luminance":      {[]emitters.Emitter{{Name: "uv", Full: colour.XYZ{X: 1, Z: 1}}}, emitters.ErrLight, `emitter 1 ("uv")`},
		"negative light":    {[]emitters.Emitter{{Full: colour.XYZ{X: -1, Y: 1, Z: 1}}}, emitters.ErrLight, "X -1"},
		"not a number":      {[]emitters.Emitter{{Full: colour.XYZ{X: 1, Y: math.NaN(), Z: 1}}}, emitters.ErrLight, "Y NaN"},
		"infinite":          {[]emitters.Emitter{{Full: colour.XYZ{X: 1, Y: 1, Z: math.Inf(1)}}}, emitters.ErrLight, "Z +Inf"},
		"more than the sun": {[]emitters.Emitter{{Full: colour.XYZ{X: 1, Y: 1e13, Z: 1}}}, emitters.ErrLight, "Y 1e+13"},
	} {
		t.Run(name, func(t *testing.T) {
			c, err := emitters.NewCell(row.emitters)
			require.ErrorIs(t, err, row.want)
			require.ErrorContains(t, err, row.text)
			require.Nil(t, c)
		})
	}
}

// A cell neither keeps nor hands out the caller's slice.
func TestCellIsImmutable(t *testing.T) {
	es := []emitters.Emitter{{Name: "a", Full: colour.XYZ{X: 1, Y: 2, Z: 3}}}
	c, err := emitters.NewCell(es)
	require.NoError(t, err)
	es[0].Name = "changed"
	c.Emitters()[0].Name = "changed"
	c.Gamut()[0] = colour.UV{}
	require.Equal(t, "a", c.Emitters()[0].Name)
	require.NotZero(t, c.Gamut()[0])
	require.Equal(t, 1, c.Len())
}

// Light adds up (Grassmann's law of additivity, CIE 15:2018 section 7): each emitter alone
// gives its full light times its drive, and together the sum of that.
func TestLightAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		require.Zero(t, c.Light(emitters.Drives{}))
		var d emitters.Drives
		var want colour.XYZ
		for i, e := range s.emitters {
			alone := emitters.Drives{}
			alone[i] = 1
			require.Equal(t, e.Full, c.Light(alone))
			d[i] = r.Float64()
			want = want.Add(e.Full.Scale(d[i]))
		}
		got := c.Light(d)
		require.InEpsilonSlice(t, []float64{want.X, want.Y, want.Z}, []float64{got.X, got.Y, got.Z}, 1e-14)
	}
}
