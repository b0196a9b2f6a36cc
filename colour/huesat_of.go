package colour

import "math"

var rec2020FromXYZ = rec2020Linear.inverse()

// HueSatOf gives the hue and saturation that p has under the balance white, the inverse
// of HueSat.Chromaticity. Saturation is above 1 outside of the Rec.2020 triangle. ok is
// false for the balance white itself, which has no hue, and where the balance lies
// outside of the triangle.
func HueSatOf(p, balance XY) (h HueSat, ok bool) {
	if !p.Valid() || !balance.Valid() {
		return HueSat{}, false
	}
	for _, part := range rec2020FromXYZ.apply(balance.XYZ(1).vector()) {
		if part <= 0 {
			return HueSat{}, false
		}
	}
	white, at := balance.UV(), p.UV()
	way := UV{at.U - white.U, at.V - white.V}
	if math.Hypot(way.U, way.V) < 1e-9 {
		return HueSat{}, false
	}
	// The way meets the triangle where the cross products say; the first side counts.
	corners := [3]UV{}
	for i := range corners {
		corners[i] = xyzOf(rec2020Linear.apply(pureHue(float64(120 * i)))).XY().UV()
	}
	reach := math.Inf(1)
	for i, a := range corners {
		b := corners[(i+1)%3]
		side, to := UV{b.U - a.U, b.V - a.V}, UV{a.U - white.U, a.V - white.V}
		d := way.U*side.V - way.V*side.U
		if d == 0 {
			continue
		}
		t, s := (to.U*side.V-to.V*side.U)/d, (to.U*way.V-to.V*way.U)/d
		if t > 0 && s >= -1e-9 && s <= 1+1e-9 {
			reach = min(reach, t)
		}
	}
	if math.IsInf(reach, 1) {
		return HueSat{}, false
	}
	edge := UV{white.U + reach*way.U, white.V + reach*way.V}.XY()
	return HueSat{Hue: hueOf(rec2020FromXYZ.apply(edge.XYZ(1).vector())), Sat: 1 / reach}, true
}

// hueOf gives the hue of HSV of a colour on the edge of its triangle, 0 up to 360.
func hueOf(rgb [3]float64) float64 {
	top := 0
	for i, v := range rgb {
		if v > rgb[top] {
			top = i
		}
	}
	next, last := max(rgb[(top+1)%3], 0), max(rgb[(top+2)%3], 0)
	deg := 120*float64(top) + 60*(next-last)/rgb[top]
	return math.Mod(deg+360, 360)
}
