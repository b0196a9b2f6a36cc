package quality_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
)

func TestZ(t *testing.T) {
	all := illuminants(t)
	w := map[string]float64{}
	note := func(k string, a, b float64, n string) {
		if d := math.Abs(a - b); d > w[k] {
			w[k] = d
			t.Log(k, n, a, b)
		}
	}
	for _, r := range rows(t, "tm30_values.csv") {
		s := all[r["name"]].interpolated(t)
		a, err := quality.TM30At(s, quality.Every5)
		require.NoError(t, err)
		b, err := quality.TM30(s)
		require.NoError(t, err)
		note("Rf5", r.num(t, "Rf"), a.Rf, r["name"])
		note("Rg5", r.num(t, "Rg"), a.Rg, r["name"])
		note("Rf1", r.num(t, "Rf"), b.Rf, r["name"])
		note("Rg1", r.num(t, "Rg"), b.Rg, r["name"])
		note("cct5", r.num(t, "CCT"), float64(a.CCT.T), r["name"])
		note("duv5", r.num(t, "Duv"), float64(a.CCT.Duv), r["name"])
	}
	for _, r := range rows(t, "tlci_values.csv") {
		if m, ok := all[r["name"]]; ok {
			s := m.interpolated(t)
			a, err := quality.TLCIAt(s, quality.Every5)
			require.NoError(t, err)
			b, err := quality.TLCI(s)
			require.NoError(t, err)
			note("tlci5", r.num(t, "TLCI_calc"), a.Q, r["name"])
			note("tlci5t", r.num(t, "TLCI_tool"), a.Q, r["name"])
			note("tlci1", r.num(t, "TLCI_calc"), b.Q, r["name"])
			note("tlciX", 0, float64(a.Excluded), r["name"])
		}
	}
	t.Log(w)
}
