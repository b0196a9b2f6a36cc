package calibrate

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// tints checks the colour that was read, of spectrum or of xy.
func (c *vetter) tints(v *vetted) bool {
	if v.Spectrum != nil && !c.spectrum(v) {
		v.Spectrum = nil
	}
	if v.hasXY() && !v.XY.Valid() {
		c.impossible(v)
		v.XY = colour.XY{}
	}
	xy, read := v.chromaticity()
	if !read {
		return false
	}
	if v.Spectrum != nil && v.hasXY() && xy.UV().Distance(v.XY.UV()) > doubleUV {
		c.fault(v, Contradiction, false, "xy "+short(v.XY), fmt.Sprintf("the spectrum beside it has xy %s, %.3f u'v' away; the spectrum is believed", short(xy), xy.UV().Distance(v.XY.UV())),
			"leave out the one that is wrong")
	}
	v.colour = xy
	return c.near(v)
}

// spectrum checks that powers can be powers.
func (c *vetter) spectrum(v *vetted) bool {
	for _, p := range v.Spectrum {
		if !(p >= 0) || math.IsInf(p, 0) {
			c.fault(v, Impossible, true, fmt.Sprintf("a spectrum with the power %g", p), "power is 0 or more", "write 0 for what noise put below it")
			return false
		}
	}
	if !(v.Spectrum.XYZ().Y > 0) {
		c.fault(v, Impossible, true, "a spectrum without light", "it has no power between 380 and 780 nm", "read it again with the emitter on")
		return false
	}
	return true
}

// impossible tells an xy that no light has, and what was probably meant.
func (c *vetter) impossible(v *vetted) {
	p, own := v.XY, c.own[v.emitter]
	mend := "read it again; x and y are shares, and a light's lie inside the spectral locus"
	hundredth := colour.XY{X: p.X / 100, Y: p.Y / 100}
	thousandth := colour.XY{X: p.X / 1000, Y: p.Y / 1000}
	switch {
	case near(hundredth, own):
		mend = fmt.Sprintf("write xy as shares, not per cent: %s", short(hundredth))
	case near(thousandth, own):
		mend = fmt.Sprintf("write xy with its decimal point: %s", short(thousandth))
	default:
		if other, why := c.meant(v); why != "" {
			mend = fmt.Sprintf("%s: write %s", why, other)
		}
	}
	c.fault(v, Impossible, true, "xy "+short(p), "no light has that chromaticity", mend)
}

// near tells whether q explains a reading of a light that is like own.
func near(q, own colour.XY) bool { return q.Valid() && q.UV().Distance(own.UV()) < explainedUV }

// near compares the colour with that of the type's emitter.
func (c *vetter) near(v *vetted) bool {
	away := v.colour.UV().Distance(c.own[v.emitter].UV())
	plain, most := c.bounds(v.emitter)
	if away <= plain {
		return true
	}
	why := fmt.Sprintf("that is %.3f u'v' from the %s of %s, xy %s", away, v.Emitter, c.t.Name, short(c.own[v.emitter]))
	refused, mend := away > most, "check that only this emitter was on and that nothing stood in the light"
	if other, slip := c.meant(v); slip != "" {
		refused, why, mend = true, why+"; "+slip, "write "+other+", or read it again"
	}
	what := "xy " + short(v.colour)
	if v.Spectrum != nil {
		what = "a spectrum of xy " + short(v.colour)
	}
	c.fault(v, FarFromType, refused, what, why, mend)
	return !refused
}

// bounds returns how far, in u'v', the colour of a unit's emitter may lie from
// that of its type's before it is named, and before it is not believed. A bin of
// a blue is four times as far away as one of a green.
func (c *vetter) bounds(emitter int) (plain, most float64) {
	s := &c.t.Emitters[emitter].Spectrum
	mean, _ := spread(s)
	off := func(nm float64) float64 {
		var most float64
		for _, shift := range []float64{-nm, nm} {
			moved := move{shift: shift}.apply(s, mean)
			most = max(most, moved.XYZ().XY().UV().Distance(c.own[emitter].UV()))
		}
		return most
	}
	return plainUV + off(plainNM), min(mostUV+off(mostNM), farthestUV)
}

// meant finds what else a reading of colour may be: another emitter's, u'v' in
// place of xy, x and y the wrong way round. Empty when nothing fits.
func (c *vetter) meant(v *vetted) (write, why string) {
	own := c.own[v.emitter]
	if v.Spectrum == nil {
		if q := (colour.UV{U: v.XY.X, V: v.XY.Y}).XY(); near(q, own) {
			return "xy " + short(q), "it would fit if it were u'v'"
		}
		if q := (colour.XY{X: v.XY.Y, Y: v.XY.X}); near(q, own) {
			return "xy " + short(q), "it would fit with x and y the other way round"
		}
	}
	xy, _ := v.chromaticity()
	for i, p := range c.own {
		if i != v.emitter && xy.Valid() && near(xy, p) {
			return "emitter " + c.t.Emitters[i].Name, "it is the colour of the emitter " + c.t.Emitters[i].Name
		}
	}
	return "", ""
}

func short(p colour.XY) string { return fmt.Sprintf("%.4g, %.4g", p.X, p.Y) }
