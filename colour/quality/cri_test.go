package quality_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
)

func TestX(t *testing.T) {
	all := illuminants(t)
	worst := map[string]float64{}
	for _, r := range rows(t, "cri_values.csv") {
		s := all[r["name"]]
		a, err := quality.CRIAt(s.interpolated(t), quality.Every5)
		require.NoError(t, err)
		b, err := quality.CRI(s.interpolated(t))
		require.NoError(t, err)
		note := func(k string, w, g float64) {
			if d := math.Abs(w - g); d > worst[k] {
				worst[k] = d
				t.Log(k, r["name"], w, g)
			}
		}
		note("5nm", r.num(t, "Ra_5nm"), a.Ra)
		note("1nm", r.num(t, "Ra_1nm"), b.Ra)
		note("lib", r.num(t, "Ra_lib"), b.Ra)
		note("tool", r.num(t, "Ra_tool"), b.Ra)
		note("dC", r.num(t, "dC"), a.Distance)
		for i := range 14 {
			note("R", r.num(t, "R"+strconv.Itoa(i+1)), a.R[i])
		}
	}
	t.Log(worst)
	worst = map[string]float64{}
	for _, r := range rows(t, "ssi_values.csv") {
		s := all[r["name"]].interpolated(t)
		a, err := quality.SSIDefault(s)
		require.NoError(t, err)
		if d := math.Abs(a.Value - r.num(t, "SSI_ref")); d > worst["ssi"] {
			worst["ssi"] = d
			t.Log(a, a.Value, r)
		}
	}
}
func rows(t testing.TB, n string) []row { _, r := readTable(t, n); return r }
func illuminants(t testing.TB) map[string]measured {
	out := map[string]measured{}
	for _, f := range []string{"a_c_d", "fl", "fl3", "led"} {
		for k, v := range readSpectra(t, "illuminants_"+f+"_5nm.csv") {
			out[k] = v
		}
	}
	return out
}
