package recipe

import (
	"math"
	"sync"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// The whites of the table: from daylight of 25 000 K to a black body of 1000 K, which is
// as far as the formulas of both go.
const (
	firstMired = 40
	lastMired  = 1000
	miredStep  = 5
	whites     = (lastMired-firstMired)/miredStep + 1
)

// Between these the reference white goes over from black bodies to daylight: the
// temperatures at which SSI and CRI change from one to the other.
const (
	blackbodyFrom = 1e6 / 4000. // mired
	daylightTo    = 1e6 / 5000.
)

// The distances from the reference whites, in CIE 1960 uv, up to which a light is a white,
// and from which it is a colour [CIE 13.3] [CIE 15].
const (
	whiteWithin  = 0.0054
	colourBeyond = 0.05
)

// white is a reference white of the table.
type white struct {
	light  spectra.Spectrum // of one lumen, in W/nm
	u, v   float64          // CIE 1960
	tu, tv float64          // the way the whites go there with rising mired, a unit vector
}

// whiteTable gives the reference whites in equal steps of mired.
var whiteTable = sync.OnceValue(func() *[whites]white {
	var t [whites]white
	for i := range t {
		w := &t[i]
		w.light = whiteLight(firstMired + miredStep*float64(i))
		w.u, w.v = uv1960(w.light.XYZ().XY())
	}
	for i := range t {
		a, b := &t[max(i-1, 0)], &t[min(i+1, whites-1)]
		du, dv := b.u-a.u, b.v-a.v
		length := math.Hypot(du, dv)
		t[i].tu, t[i].tv = du/length, dv/length
	}
	return &t
})

// whiteLight returns the reference white of a temperature in mired, 40 to 1000, as the
// spectrum of one lumen.
func whiteLight(mired float64) spectra.Spectrum {
	t := colour.Kelvin(1e6 / mired)
	// 0 for a black body, 1 for daylight
	share := min(max((blackbodyFrom-mired)/(blackbodyFrom-daylightTo), 0), 1)
	var sum spectra.Spectrum
	if share < 1 {
		black, _ := spectra.Blackbody(t) // cannot fail from 1000 K up
		sum = ofOneLumen(black).Scale(1 - share)
	}
	if share > 0 {
		day, _ := spectra.DaylightSPD(t) // cannot fail from 4000 to 25 000 K
		sum = sum.Add(ofOneLumen(day).Scale(share))
	}
	return sum
}

func ofOneLumen(s spectra.Spectrum) spectra.Spectrum { return s.Scale(1 / s.XYZ().Y) }

// uv1960 returns CIE 1960 u and v, which is v' times 2/3 [CIE 15, A.1].
func uv1960(p colour.XY) (u, v float64) {
	q := p.UV()
	return q.U, q.V * 2 / 3
}

// among is where a chromaticity lies among the reference whites.
type among struct {
	index    int     // of the last white of the table that is not beyond it
	part     float64 // 0..1, of the way to the next one
	distance float64 // from the white there, in CIE 1960 uv
	share    float64 // 1 for a white, 0 for a colour, with no step between
}

// place finds p among the whites: between the two of the table whose normals it lies
// between, by its distances from them [Robertson1968]. Near the whites, where share is
// above 0, that is unique and moves with p without a step.
func place(p colour.XY) among {
	t := whiteTable()
	u, v := uv1960(p)
	nearest, least := 0, math.Inf(1)
	for i := range t {
		du, dv := u-t[i].u, v-t[i].v
		if d := du*du + dv*dv; d < least {
			nearest, least = i, d
		}
	}
	ahead := func(i int) float64 { return (u-t[i].u)*t[i].tu + (v-t[i].v)*t[i].tv }
	a := among{index: nearest}
	if ahead(nearest) < 0 {
		a.index--
	}
	a.index = min(max(a.index, 0), whites-2)
	from, to := ahead(a.index), ahead(a.index+1)
	a.part = min(max(from/(from-to), 0), 1)
	w, next := &t[a.index], &t[a.index+1]
	a.distance = math.Hypot(u-w.u-a.part*(next.u-w.u), v-w.v-a.part*(next.v-w.v))
	if !(a.distance < colourBeyond) { // also NaN
		return a
	}
	x := min(max((colourBeyond-a.distance)/(colourBeyond-whiteWithin), 0), 1)
	a.share = x * x * (3 - 2*x)
	return a
}
