package recipe

import (
	"math"
	"sync"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// The wheel of chromaticities at which spectra of colours are known: rays from the
// canonical white in u'v', each with steps to the purest colour. Some rays go to the
// spectral lines, the others to the purples, so that the two corners where those meet lie
// on rays. On either side they lie closer towards the red corner, where all lines from
// 620 nm up share a few degrees.
const (
	lineRays   = 120
	purpleRays = 60
	rays       = lineRays + purpleRays
	rings      = 41
	closer     = 1.6 // the angle from the red corner grows with this power
	// purest is the share of the way from the white to the spectral locus at which the
	// outermost ring lies: nearer to the locus a spectrum comes near to a line. What is
	// purer counts as that.
	purest = 0.99
	// The spectral lines between which the purest colours lie. Of what is nearer to the
	// ends of the spectrum eye and camera see so little that one light of a chromaticity
	// says nothing of the next.
	firstLineNM = 430
	lastLineNM  = 670
)

// wheel holds where the rays end, and the tilts of the spectra at each ray and ring.
type wheel struct {
	centre colour.UV
	start  float64       // angle of ray 0, to the last line, in radians
	span   float64       // from there to the first line, by way of all others
	reach  [rays]float64 // u'v' distance from the centre to the purest colour
	tilts  [rays][rings]tilt
}

// spokes is a place on the wheel: between two rays and two rings.
type spokes struct {
	ray, next, ring int
	aside, out      float64 // 0..1 of the way to the next ray and ring
}

// wheelTable gives the wheel; it takes some tenths of a second the first time.
var wheelTable = sync.OnceValue(func() *wheel {
	w := &wheel{centre: canonicalWhite().XYZ().XY().UV()}
	u, v := w.line(lastLineNM)
	w.start = math.Atan2(v, u)
	u, v = w.line(firstLineNM)
	w.span = turnTo(math.Atan2(v, u) - w.start)
	for r := range rays {
		w.reach[r] = w.edge(r)
		var t tilt
		for k := 1; k < rings; k++ {
			_, next, ok := canonical(w.at(r, k).XY(), t)
			if ok { // it is for every chromaticity inside the locus
				t = next
			}
			w.tilts[r][k] = t
		}
	}
	return w
})

// edge finds how far the lights of 430 to 670 nm and their mixes reach along a ray: the
// nearest crossing with the lines that close them.
func (w *wheel) edge(ray int) float64 {
	switch ray {
	case 0:
		return math.Hypot(w.line(lastLineNM))
	case lineRays:
		return math.Hypot(w.line(firstLineNM))
	}
	sin, cos := math.Sincos(w.angle(ray))
	nearest := math.Inf(1)
	au, av := w.line(lastLineNM)
	for nm := firstLineNM; nm <= lastLineNM; nm++ {
		bu, bv := w.line(nm)
		du, dv := bu-au, bv-av
		cross := cos*dv - sin*du
		distance, along := (au*dv-av*du)/cross, (au*sin-av*cos)/cross
		if distance > 0 && along >= 0 && along <= 1 {
			nearest = min(nearest, distance)
		}
		au, av = bu, bv
	}
	return nearest
}

// line returns the chromaticity of a spectral line, in u'v' from the centre.
func (w *wheel) line(nm int) (u, v float64) {
	f := spectra.CIE1931.Functions()[nm-spectra.FirstNM]
	p := colour.XYZ{X: f[0], Y: f[1], Z: f[2]}.XY().UV()
	return p.U - w.centre.U, p.V - w.centre.V
}

// angle returns the angle of a ray in radians.
func (w *wheel) angle(ray int) float64 {
	if ray < lineRays {
		return w.start + w.span*math.Pow(float64(ray)/lineRays, closer)
	}
	return w.start + 2*math.Pi - (2*math.Pi-w.span)*math.Pow(float64(rays-ray)/purpleRays, closer)
}

// turn returns the ray, and the part of the way to the next, at an angle from ray 0.
func (w *wheel) turn(angle float64) float64 {
	if angle < w.span {
		return lineRays * math.Pow(angle/w.span, 1/closer)
	}
	return rays - purpleRays*math.Pow((2*math.Pi-angle)/(2*math.Pi-w.span), 1/closer)
}

// turnTo returns an angle from -2π to 2π as one from 0 to 2π.
func turnTo(angle float64) float64 {
	if angle < 0 {
		return angle + 2*math.Pi
	}
	return angle
}

// along returns the chromaticity on a ray at a distance from the centre.
func (w *wheel) along(ray int, distance float64) colour.UV {
	sin, cos := math.Sincos(w.angle(ray))
	return colour.UV{U: w.centre.U + distance*cos, V: w.centre.V + distance*sin}
}

// at returns the chromaticity at a ray and a ring.
func (w *wheel) at(ray, ring int) colour.UV {
	return w.along(ray, purest*w.reach[ray]*float64(ring)/(rings-1))
}

// find returns the place of a chromaticity on the wheel.
func (w *wheel) find(p colour.UV) (at spokes) {
	du, dv := p.U-w.centre.U, p.V-w.centre.V
	turn := w.turn(turnTo(math.Atan2(dv, du) - w.start))
	if !(turn >= 0) { // NaN
		turn = 0
	}
	at.ray = int(turn)
	at.aside = turn - float64(at.ray)
	at.ray %= rays
	at.next = (at.ray + 1) % rays
	reach := w.reach[at.ray] + at.aside*(w.reach[at.next]-w.reach[at.ray])
	out := min(math.Hypot(du, dv)/(purest*reach), 1) * (rings - 1)
	at.ring = min(int(out), rings-2)
	at.out = out - float64(at.ring)
	return at
}
