package difference

import (
	"math"

	"linkboy/colour"
)

// CAM16 is how a colour looks to an adapted eye.
//
//	J  lightness, 0 (black) to 100 (the white); above 100 brighter than it
//	C  chroma, 0 and up: colourfulness against an equally lit white
//	H  hue angle in degrees, 0 up to but not 360
//	M  colourfulness, 0 and up; grows with the luminance of the scene
//	Q  brightness, 0 and up; grows with the luminance of the scene
//	S  saturation, 0 and up: colourfulness against its own brightness
//
// J, M and H say everything; the others follow from them and the conditions.
// Source: [Li2017].
type CAM16 struct{ J, C, H, M, Q, S float64 }

// See returns how c looks; c is in the unit of the white of e.
//
//	domain  the real colours; outside of them responses that the model has no
//	        power for count as 0, so the result stays finite
//	range   see CAM16
//
// Source: [Li2017].
func (e *Eye) See(c colour.XYZ) CAM16 {
	r := e.response(c)
	a := r[0] - 12*r[1]/11 + r[2]/11
	b := (r[0] + r[1] - 2*r[2]) / 9
	h := hueOf(a, b)
	lightness := math.Pow(max(e.brightness(r), 0)/e.achromatic, e.cz)

	// The 0.305 is what the offsets of 0.1 on each response add up to.
	sum := max(r[0]+r[1]+1.05*r[2]+0.305, minResponse)
	t := e.eccentricity(h) * math.Hypot(a, b) / sum
	root := math.Sqrt(lightness)
	seen := CAM16{J: 100 * lightness, H: h}
	seen.C = math.Pow(t, 0.9) * root * e.chroma
	seen.M = seen.C * e.flRoot
	seen.Q = 4 / e.surround.C * root * (e.achromatic + 4) * e.flRoot
	if seen.Q > 0 {
		seen.S = 100 * math.Sqrt(seen.M/seen.Q)
	}
	return seen
}

// XYZ returns the colour that looks like J, M and H of c to e: the inverse of
// See, in the unit of the white. The other parts of c are not read. Black
// gives the zero XYZ. Appearances that no colour has give a finite XYZ.
// Source: [Li2017], the inverse model.
func (e *Eye) XYZ(c CAM16) colour.XYZ {
	if !(c.J > 0) {
		return colour.XYZ{}
	}
	lightness := c.J / 100
	t := math.Pow(max(c.M, 0)/e.flRoot/(math.Sqrt(lightness)*e.chroma), 1/0.9)
	sin, cos := math.Sincos(c.H * (math.Pi / 180))
	p := e.achromatic * math.Pow(lightness, 1/e.cz) / e.nbb
	// Past this t the opponent responses would turn round.
	under := max(23*e.eccentricity(c.H)+t*(11*cos+108*sin), minResponse)
	reach := 23 * (p + 0.305) * t / under
	a, b := reach*cos, reach*sin
	return e.colour([3]float64{
		(460*p + 451*a + 288*b) / 1403,
		(460*p - 891*a - 261*b) / 1403,
		(460*p - 220*a - 6300*b) / 1403,
	})
}

// HueQuadrature returns H of hue angle h in degrees: 0 red, 100 yellow, 200
// green, 300 blue, up to 400 red again. Source: [Li2017], its table of unique hues.
func HueQuadrature(h float64) float64 {
	hues := [5]float64{20.14, 90, 164.25, 237.53, 380.14}
	weights := [5]float64{0.8, 0.7, 1.0, 1.2, 0.8}
	h = math.Mod(h, 360)
	for h < hues[0] {
		h += 360
	}
	i := 0
	for i < 3 && h >= hues[i+1] {
		i++
	}
	before, after := (h-hues[i])/weights[i], (hues[i+1]-h)/weights[i+1]
	return 100*float64(i) + 100*before/(before+after)
}

// minResponse keeps divisors above 0 for colours that do not exist; real ones
// stay above 0.3.
const minResponse = 1e-3

// response returns the adapted, compressed responses of the cones, without the
// offset of 0.1 of older forms: it cancels everywhere but in one divisor.
func (e *Eye) response(c colour.XYZ) [3]float64 {
	r := cones(c.Scale(e.scale))
	for i, cone := range r {
		x := math.Pow(e.fl*math.Abs(cone*e.gain[i])/100, 0.42)
		// 400 x / (x + 27.13), in a form that no x overflows
		r[i] = math.Copysign(400/(1+27.13/x), cone)
	}
	return r
}

// colour undoes response.
func (e *Eye) colour(r [3]float64) colour.XYZ {
	for i, v := range r {
		x := min(math.Abs(v), maxResponse)
		cone := 100 / e.fl * math.Pow(27.13*x/(400-x), 1/0.42)
		r[i] = math.Copysign(cone, v) / e.gain[i]
	}
	v := apply(&cat16Inverse, r)
	return colour.XYZ{X: v[0], Y: v[1], Z: v[2]}.Scale(1 / e.scale)
}

// maxResponse is just under the response of 400 that no light reaches.
const maxResponse = 399.999

// brightness returns the achromatic response A.
func (e *Eye) brightness(r [3]float64) float64 { return (2*r[0] + r[1] + r[2]/20) * e.nbb }

// eccentricity returns the factor of the opponent responses in t, which
// depends on the hue.
func (e *Eye) eccentricity(h float64) float64 {
	et := (math.Cos(h*(math.Pi/180)+2) + 3.8) / 4
	return 50000.0 / 13 * e.surround.Nc * e.nbb * et
}
