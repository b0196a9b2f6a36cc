package lamp_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

func TestNoAllocs(t *testing.T) {
	for _, curve := range curves() {
		typ, m := build(t, "rgbww", 16, 16, curve)
		drives := make([]emitters.Drives, 16)
		bytes := make([]byte, m.Footprint)
		params := map[string]float64{"strobe": 3}
		require.Zero(t, testing.AllocsPerRun(100, func() { m.Encode(typ, drives, params, bytes) }), curve)
		require.Zero(t, testing.AllocsPerRun(100, func() { m.Decode(typ, bytes, drives) }), curve)
	}
}

// BenchmarkTube encodes and decodes a 16-cell RGBWW tube with 16-bit channels, 163 slots,
// by every dimmer curve; times-linear is against the linear one in the same run.
func BenchmarkTube(b *testing.B) {
	linear := map[string]float64{}
	for _, curve := range curves() {
		typ, m := build(b, "rgbww", 16, 16, curve)
		c, err := typ.CellOf(m)
		require.NoError(b, err)
		drives := make([]emitters.Drives, 16)
		for i := range drives {
			drives[i] = c.Solve(white, colour.Level(i+1)/16, white).Drives
		}
		bytes := make([]byte, m.Footprint)
		for name, f := range map[string]func(){
			"encode": func() { m.Encode(typ, drives, nil, bytes) },
			"decode": func() { m.Decode(typ, bytes, drives) },
		} {
			m.Encode(typ, drives, nil, bytes)
			b.Run(name+"/"+string(curve), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					f()
				}
				each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
				if curve == "linear" {
					linear[name] = each
				}
				if linear[name] > 0 {
					b.ReportMetric(each/linear[name], "times-linear")
				}
			})
		}
	}
}
