package difference

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Surround is the field around the field that is looked at: the degree of
// adaptation F, the impact c and the induction Nc of CIECAM02 [CIE 159].
type Surround struct{ F, C, Nc float64 }

// The three surrounds of [CIE 159]. Between them interpolation is
// allowed.
var (
	Average = Surround{1.0, 0.69, 1.0}  // surfaces in a lit room, a film set
	Dim     = Surround{0.9, 0.59, 0.9}  // a monitor in a dim room
	Dark    = Surround{0.8, 0.525, 0.8} // projection in a dark hall
)

// Viewing are the conditions under which a colour is looked at.
//
//	White       the adapting white; its Y is the scale of every colour seen
//	Adapting    L_A, luminance of the adapting field in cd/m², above 0 and up
//	            to 1e6; for a lit grey world a fifth of the white's luminance
//	Background  Y_b / Y_w, luminance of the background as a share of the
//	            white's, above 0 and up to 1; 0.2 is the usual grey
//	Surround    Average, Dim, Dark, or values between
//	Discount    the eye takes the colour of the light off completely (D = 1),
//	            as it does for surfaces in a lit scene
type Viewing struct {
	White      colour.XYZ
	Adapting   float64
	Background float64
	Surround   Surround
	Discount   bool
}

// Eye is an eye adapted to viewing conditions: what of CAM16 does not depend
// on the colour looked at. Make it with NewEye; it may be shared.
type Eye struct {
	scale      float64    // colours times scale have a white of Y = 100
	gain       [3]float64 // of the cones, from adaptation to the white
	fl         float64    // luminance-level adaptation factor F_L
	flRoot     float64    // F_L to the power 1/4
	nbb        float64    // brightness and chromatic induction N_bb = N_cb
	n          float64    // share of the background
	achromatic float64    // A_w, response to the white
	cz         float64    // exponent of lightness
	chroma     float64    // (1.64 - 0.29^n)^0.73
	surround   Surround
}

// NewEye adapts an eye to v. It fails when the white is none, a luminance is
// out of range, or the surround is outside of Dark to Average.
// Source: [Li2017].
func NewEye(v Viewing) (*Eye, error) {
	if err := v.check(); err != nil {
		return nil, err
	}
	s := v.Surround
	d := 1.0
	if !v.Discount {
		d = min(max(s.F*(1-math.Exp((-v.Adapting-42)/92)/3.6), 0), 1)
	}
	k := 1 / (5*v.Adapting + 1)
	k4 := k * k * k * k
	e := &Eye{
		scale:    100 / v.White.Y,
		fl:       0.2*k4*5*v.Adapting + 0.1*(1-k4)*(1-k4)*math.Cbrt(5*v.Adapting),
		n:        v.Background,
		surround: s,
	}
	for i, cone := range cones(v.White.Scale(e.scale)) {
		if !(cone > 0) {
			return nil, &colour.Error{What: "viewing conditions", Why: "the white drives a cone by nothing or less: no real light does", Mend: "give the white as X, Y, Z of a real, nearly neutral light"}
		}
		e.gain[i] = d*100/cone + 1 - d
	}
	e.flRoot = math.Sqrt(math.Sqrt(e.fl))
	e.nbb = 0.725 * math.Pow(1/e.n, 0.2)
	e.cz = s.C * (1.48 + math.Sqrt(e.n))
	e.chroma = math.Pow(1.64-math.Pow(0.29, e.n), 0.73)
	e.achromatic = e.brightness(e.response(v.White))
	return e, nil
}

// check says why nobody can look under v.
func (v Viewing) check() error {
	const what = "viewing conditions"
	s := v.Surround
	within := func(x, lo, hi float64) bool { return x >= lo && x <= hi }
	switch {
	case !isWhite(v.White):
		return &colour.Error{What: what, Why: fmt.Sprintf("the white is %v", v.White), Mend: "give a white with X, Y and Z above 0"}
	case !(v.Adapting > 0 && v.Adapting <= 1e6):
		return &colour.Error{What: what, Why: fmt.Sprintf("the adapting luminance is %g cd/m2", v.Adapting), Mend: "give more than 0 and at most 1000000; 64 cd/m2 goes with 1000 lx on a grey world"}
	case !(v.Background > 0 && v.Background <= 1):
		return &colour.Error{What: what, Why: fmt.Sprintf("the background is %g of the white", v.Background), Mend: "give a share above 0 and at most 1; 0.2 is the usual grey"}
	case !within(s.F, Dark.F, Average.F) || !within(s.C, Dark.C, Average.C) || !within(s.Nc, Dark.Nc, Average.Nc):
		return &colour.Error{What: what, Why: fmt.Sprintf("the surround is %v", s), Mend: "take Average, Dim, Dark, or values between them"}
	}
	return nil
}

// cat16 is the matrix M16 from XYZ (white of Y = 100) to the cones [Li2017].
var cat16 = [3][3]float64{
	{0.401288, 0.650173, -0.051461},
	{-0.250268, 1.204414, 0.045854},
	{-0.002079, 0.048952, 0.953127},
}

// cat16Inverse is the inverse of cat16, worked out from it.
var cat16Inverse = inverse(cat16)

// cones applies M16.
func cones(c colour.XYZ) [3]float64 { return apply(&cat16, [3]float64{c.X, c.Y, c.Z}) }

func apply(m *[3][3]float64, v [3]float64) [3]float64 {
	return [3]float64{
		m[0][0]*v[0] + m[0][1]*v[1] + m[0][2]*v[2],
		m[1][0]*v[0] + m[1][1]*v[1] + m[1][2]*v[2],
		m[2][0]*v[0] + m[2][1]*v[1] + m[2][2]*v[2],
	}
}

// inverse returns the inverse of m by cofactors; m must not be singular.
func inverse(m [3][3]float64) [3][3]float64 {
	cofactor := func(i, j int) float64 {
		i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[i1][j1]*m[i2][j2] - m[i1][j2]*m[i2][j1]
	}
	det := m[0][0]*cofactor(0, 0) + m[0][1]*cofactor(0, 1) + m[0][2]*cofactor(0, 2)
	var out [3][3]float64
	for i := range 3 {
		for j := range 3 {
			out[j][i] = cofactor(i, j) / det
		}
	}
	return out
}
