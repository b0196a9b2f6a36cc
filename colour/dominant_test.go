package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The table was computed by another implementation; the colour-science library
// gives whole wavelengths (616, -509), BT.2020 states its own (630, 532, 467 nm).
func TestDominantEveryRow(t *testing.T) {
	stated := map[string]float64{
		"reference library sample": 616, "reference library sample (purple)": -509,
		"Rec.2020 R": 630, "Rec.2020 G": 532, "Rec.2020 B": 467,
	}
	for _, r := range readTable(t, "dominant_wavelength.csv") {
		name := r["source"]
		p := colour.XY{X: r.Num(t, "x"), Y: r.Num(t, "y")}
		white := colour.XY{X: r.Num(t, "xw"), Y: r.Num(t, "yw")}
		if white.X == 0.3333 { // equal energy, printed short
			white = colour.XY{X: 1.0 / 3, Y: 1.0 / 3}
		}
		d := p.Dominant(white)
		require.InDelta(t, r.Num(t, "lambda_d_nm"), d.NM, 0.006, name)
		require.InDelta(t, r.Num(t, "Pe"), d.Purity, 6e-6, name)
		if nm, is := stated[name]; is {
			require.InDelta(t, nm, d.NM, 0.5, name)
		}

		edge, err := colour.Dominant{NM: d.NM, Purity: 1}.Chromaticity(white)
		require.NoError(t, err, name)
		require.InDelta(t, r.Num(t, "hit_x"), edge.X, 1e-6, name)
		require.InDelta(t, r.Num(t, "hit_y"), edge.Y, 1e-6, name)
		if d.Purity > 1 {
			continue
		}
		back, err := d.Chromaticity(white)
		require.NoError(t, err, name)
		require.InDelta(t, p.X, back.X, 1e-12, name)
		require.InDelta(t, p.Y, back.Y, 1e-12, name)
	}
}

func TestDominantThereAndBack(t *testing.T) {
	for nm := 400.0; nm <= 690; nm += 0.7 {
		for _, sign := range []float64{1, -1} {
			want := colour.Dominant{NM: sign * nm, Purity: 0.6}
			p, err := want.Chromaticity(colour.D65)
			if err != nil {
				require.Negative(t, sign)
				requireMend(t, err)
				continue
			}
			got := p.Dominant(colour.D65)
			require.InDelta(t, want.NM, got.NM, 1e-6)
			require.InDelta(t, want.Purity, got.Purity, 1e-9)
		}
	}
}

func TestDominantOfWhiteIsNone(t *testing.T) {
	require.Equal(t, colour.Dominant{}, colour.D65.Dominant(colour.D65))
	p, err := colour.Dominant{NM: 550, Purity: 0}.Chromaticity(colour.D65)
	require.NoError(t, err)
	require.Equal(t, colour.D65, p)
}

func TestDominantRefuses(t *testing.T) {
	for _, d := range []colour.Dominant{
		{NM: 379, Purity: 1}, {NM: 700, Purity: 1}, {NM: 0, Purity: 1}, {NM: math.NaN(), Purity: 1},
		{NM: 550, Purity: 1.01}, {NM: 550, Purity: -0.1}, {NM: 550, Purity: math.NaN()},
		{NM: -600, Purity: 0.5}, // its complementary is no purple
	} {
		_, err := d.Chromaticity(colour.D65)
		requireMend(t, err)
	}
	_, err := colour.Dominant{NM: 550, Purity: 1}.Chromaticity(colour.XY{})
	require.ErrorContains(t, err, "balance")
}
