package quality_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

func TestY(t *testing.T) {
	all := illuminants(t)
	p, _ := spectra.Blackbody(3200)
	d := all["D55"].interpolated(t)
	var nm, pw []float64
	for i := 375; i <= 675; i += 5 {
		nm = append(nm, float64(i))
		pw = append(pw, p[i-360])
	}
	p5, _ := spectra.FromTable(nm, pw)
	var w [3]float64
	for _, r := range rows(t, "ssi_values.csv") {
		s := all[r["name"]].interpolated(t)
		a, err := quality.SSI(s, p)
		require.NoError(t, err)
		b, _ := quality.SSI(s, d)
		c, _ := quality.SSI(s, p5)
		w[0] = max(w[0], math.Abs(a-r.num(t, "SSI_P3200")))
		w[1] = max(w[1], math.Abs(b-r.num(t, "SSI_D55")))
		w[2] = max(w[2], math.Abs(c-r.num(t, "SSI_P3200")))
	}
	t.Log(w)
}
