package quality

import "math"

// jab is a colour in CAM02-UCS: lightness J' and the axes a', b'.
type jab struct{ j, a, b float64 }

func (p jab) distance(q jab) float64 {
	return math.Sqrt((p.j-q.j)*(p.j-q.j) + (p.a-q.a)*(p.a-q.a) + (p.b-q.b)*(p.b-q.b))
}

func (p jab) add(q jab) jab       { return jab{p.j + q.j, p.a + q.a, p.b + q.b} }
func (p jab) scale(k float64) jab { return jab{p.j * k, p.a * k, p.b * k} }

// TM-30 looks by CIECAM02 under fixed conditions: L_A = 100 cd/m², background
// of 20 %, average surround (c = 0.69, Nc = 1), the eye wholly adapted to the
// light (D = 1) [TM-30; CIE 224].
const (
	cam02Adapting   = 100.0
	cam02Background = 0.2
	cam02C          = 0.69
	cam02Nc         = 1.0
)

// What of CIECAM02 depends on the conditions alone [CIE 159].
var (
	cam02FL     = 0.1*math.Cbrt(5*cam02Adapting)*sq(1-cam02K4) + cam02K4*cam02Adapting
	cam02FLRoot = math.Sqrt(math.Sqrt(cam02FL))
	cam02K4     = math.Pow(5*cam02Adapting+1, -4)
	cam02Nbb    = 0.725 * math.Pow(1/cam02Background, 0.2)
	cam02CZ     = cam02C * (1.48 + math.Sqrt(cam02Background))
	cam02Chroma = math.Pow(1.64-math.Pow(0.29, cam02Background), 0.73)
)

func sq(x float64) float64 { return x * x }

// The matrices of [CIE 159]: XYZ to the sharpened cones in which the eye
// adapts, and to the Hunt-Pointer-Estevez cones in which it responds.
var (
	cat02 = [3][3]float64{
		{0.7328, 0.4296, -0.1624},
		{-0.7036, 1.6975, 0.0061},
		{0.0030, 0.0136, 0.9834},
	}
	hpe = [3][3]float64{
		{0.38971, 0.68898, -0.07868},
		{-0.22981, 1.18340, 0.04641},
		{0, 0, 1},
	}
	cat02ToHPE = multiply(hpe, inverse(cat02))
)

// cam02Eye is an eye adapted to one white.
type cam02Eye struct {
	scale      float64 // colours times scale have a white of Y = 100
	gain       [3]float64
	achromatic float64 // response to the white
}

// adapted returns the eye that has adapted to white, X, Y, Z in any unit.
func adapted(white [3]float64) cam02Eye {
	e := cam02Eye{scale: 100 / white[1]}
	for k, cone := range apply(&cat02, white) {
		e.gain[k] = 100 / (cone * e.scale)
	}
	e.achromatic = achromatic(e.response(white))
	return e
}

// response returns the compressed responses of the cones to c, without the
// offset of 0.1, which cancels everywhere but in one divisor.
func (e *cam02Eye) response(c [3]float64) [3]float64 {
	v := apply(&cat02, c)
	for k := range v {
		v[k] *= e.scale * e.gain[k]
	}
	v = apply(&cat02ToHPE, v)
	for k, cone := range v {
		x := math.Pow(cam02FL*math.Abs(cone)/100, 0.42)
		v[k] = math.Copysign(400*x/(x+27.13), cone)
	}
	return v
}

func achromatic(r [3]float64) float64 { return (2*r[0] + r[1] + r[2]/20) * cam02Nbb }

// see returns c in CAM02-UCS [CIE 159; Luo2006].
func (e *cam02Eye) see(c [3]float64) jab {
	r := e.response(c)
	a := r[0] - 12*r[1]/11 + r[2]/11
	b := (r[0] + r[1] - 2*r[2]) / 9
	h := math.Atan2(b, a)
	eccentricity := 12500.0 / 13 * cam02Nc * cam02Nbb * (math.Cos(h+2) + 3.8)
	lightness := math.Pow(max(achromatic(r), 0)/e.achromatic, cam02CZ)
	// The offsets of 0.1 add up to 0.305. Samples stay far above it; lights
	// that leave a cone dark come near.
	below := max(r[0]+r[1]+1.05*r[2]+0.305, 1e-3)
	t := eccentricity * math.Hypot(a, b) / below
	m := math.Pow(t, 0.9) * math.Sqrt(lightness) * cam02Chroma * cam02FLRoot

	j := 100 * lightness
	m = math.Log1p(0.0228*m) / 0.0228
	sin, cos := math.Sincos(h)
	return jab{1.7 * j / (1 + 0.007*j), m * cos, m * sin}
}

func apply(m *[3][3]float64, v [3]float64) [3]float64 {
	return [3]float64{
		m[0][0]*v[0] + m[0][1]*v[1] + m[0][2]*v[2],
		m[1][0]*v[0] + m[1][1]*v[1] + m[1][2]*v[2],
		m[2][0]*v[0] + m[2][1]*v[1] + m[2][2]*v[2],
	}
}

func multiply(m, n [3][3]float64) [3][3]float64 {
	var out [3][3]float64
	for i := range 3 {
		for j := range 3 {
			out[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return out
}

// inverse returns the inverse of m by cofactors; m must not be singular.
func inverse(m [3][3]float64) [3][3]float64 {
	cofactor := func(i, j int) float64 {
		i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[i1][j1]*m[i2][j2] - m[i1][j2]*m[i2][j1]
	}
	d := m[0][0]*cofactor(0, 0) + m[0][1]*cofactor(0, 1) + m[0][2]*cofactor(0, 2)
	var out [3][3]float64
	for i := range 3 {
		for j := range 3 {
			out[j][i] = cofactor(i, j) / d
		}
	}
	return out
}
