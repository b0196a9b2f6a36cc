package colour

import (
	"fmt"
	"math"
)

// Dominant is a colour by dominant wavelength and excitation purity, against
// the balance white [CIE 15]: purity 0 is the white, 1 the
// monochromatic light of NM. A purple has no wavelength; it takes, with a
// minus sign, that of its complementary, the light opposite it, and purity 1
// is the point of the purple line there. |NM| is 380 to 699: past those the
// hue does not change.
type Dominant struct{ NM, Purity float64 }

// Chromaticity returns the point that d means under the balance white.
func (d Dominant) Chromaticity(balance XY) (XY, error) {
	nm := math.Abs(d.NM)
	if !(nm >= locusFirstNM && nm <= locusLastNM) {
		e := &Error{d.String(), "the hue of light no longer changes below 380 nm and above 699 nm", "write a wavelength of 380 to 699 nm, or of -380 to -699 for a purple"}
		if nm > locusLastNM && nm <= observerLastNM {
			e.Mend = "write nm: 699"
		}
		return XY{}, e
	}
	if !(d.Purity >= 0 && d.Purity <= 1) {
		return XY{}, &Error{d.String(), "purity runs from 0% (the balance white) to 100% (light of one wavelength)", "write a purity of 0% to 100%"}
	}
	if !balance.Valid() {
		return XY{}, noBalance(d)
	}
	edge := locusAt(nm)
	if d.NM < 0 {
		opposite, wave, found := edgeToward(balance, balance.X-edge.X, balance.Y-edge.Y)
		if !found || wave > 0 {
			return XY{}, &Error{d.String(),
				fmt.Sprintf("opposite %s nm, through the balance white, lies no purple but %.1f nm", number(nm), wave),
				fmt.Sprintf("write nm: %.1f", wave)}
		}
		edge = opposite
	}
	return XY{balance.X + d.Purity*(edge.X-balance.X), balance.Y + d.Purity*(edge.Y-balance.Y)}, nil
}

func (d Dominant) String() string {
	return "{nm: " + number(d.NM) + ", purity: " + percent(d.Purity) + "}"
}

// Dominant returns p by dominant wavelength and excitation purity against a
// white, which must lie inside the spectral locus. The white itself has no
// wavelength; it gives the zero Dominant. A p outside the locus has a purity
// above 1.
func (p XY) Dominant(white XY) Dominant {
	edge, nm, found := edgeToward(white, p.X-white.X, p.Y-white.Y)
	if !found {
		return Dominant{}
	}
	return Dominant{nm, math.Hypot(p.X-white.X, p.Y-white.Y) / math.Hypot(edge.X-white.X, edge.Y-white.Y)}
}

// locusAt returns the point of the spectral locus at nm in 380 to 699,
// straight between the points of whole nm.
func locusAt(nm float64) XY {
	points := spectralLocus()
	i := min(int(nm)-locusFirstNM, len(points)-2)
	t := nm - float64(locusFirstNM+i)
	a, b := points[i], points[i+1]
	return XY{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)}
}

// edgeToward follows the ray from a white in direction dx, dy to the closed
// spectral locus. On the locus nm is the wavelength there; on the purple line
// it is minus the wavelength on the opposite side. Found is false when there
// is no direction, or no edge that way because white lies outside.
func edgeToward(white XY, dx, dy float64) (edge XY, nm float64, found bool) {
	points := spectralLocus()
	for i := range len(points) - 1 {
		if along, hit := crossing(white, dx, dy, points[i], points[i+1]); hit {
			nm := float64(locusFirstNM+i) + along
			return locusAt(nm), nm, true
		}
	}
	first, last := points[0], points[len(points)-1]
	along, hit := crossing(white, dx, dy, first, last)
	if !hit {
		return XY{}, 0, false
	}
	edge = XY{first.X + along*(last.X-first.X), first.Y + along*(last.Y-first.Y)}
	for i := range len(points) - 1 {
		if along, hit := crossing(white, -dx, -dy, points[i], points[i+1]); hit {
			return edge, -(float64(locusFirstNM+i) + along), true
		}
	}
	return XY{}, 0, false
}

// crossing finds where the ray from p in direction dx, dy meets the segment
// from a to b, as a share of the way from a to b.
func crossing(p XY, dx, dy float64, a, b XY) (along float64, hit bool) {
	ex, ey := b.X-a.X, b.Y-a.Y
	det := ex*dy - ey*dx
	if det == 0 {
		return 0, false
	}
	wx, wy := p.X-a.X, p.Y-a.Y
	along = (wx*dy - wy*dx) / det
	ray := (wx*ey - wy*ex) / det
	return along, along >= 0 && along <= 1 && ray > 0
}
