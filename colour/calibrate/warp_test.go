package calibrate_test

import (
	"fmt"
	"math"
	"testing"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/spectra"
)

func led(peak, width float64) spectra.Spectrum {
	s := spectra.Ohno(peak, width/0.9218)
	return s.Scale(1 / s.Power())
}

func TestX(t *testing.T) {
	for _, c := range [][4]float64{{525, 33, 531, 35}, {525, 33, 518, 30}, {465, 23, 459, 21}, {465, 23, 470, 25}, {630, 18, 624, 19}, {630, 18, 636, 17}, {592, 16, 597, 18}, {500, 28, 506, 30}, {450, 20, 455, 22}, {555, 105, 560, 100}} {
		s, tr := led(c[0], c[1]), led(c[2], c[3])
		xy := tr.XYZ().XY()
		q, got := calibrate.Warp(s, xy)
		var d, d0 float64
		for i := range q {
			d += math.Abs(q[i] - tr[i])
			d0 += math.Abs(s[i] - tr[i])
		}
		fmt.Printf("%v: L1 %.4f (before %.3f) dxy %.1e\n", c, d, d0, math.Hypot(got.X-xy.X, got.Y-xy.Y))
	}
	for _, xy := range []colour.XY{{X: .69, Y: .30}, {X: .70, Y: .2995}, {X: .69, Y: .309}, {X: .7047, Y: .2955}, {X: .6, Y: .3}, {X: .3, Y: .3}, {X: .1, Y: .8}, {X: 0.7, Y: 0.3003}} {
		q, got := calibrate.Warp(led(630, 18), xy)
		pk := 0
		for i := range q {
			if q[i] > q[pk] {
				pk = i
			}
		}
		fmt.Println(xy, got, math.Hypot(got.X-xy.X, got.Y-xy.Y), pk+360)
	}
}

func BenchmarkWarp(b *testing.B) {
	s, tr := led(525, 33), led(531, 35)
	xy := tr.XYZ().XY()
	for b.Loop() {
		calibrate.Warp(s, xy)
	}
}
