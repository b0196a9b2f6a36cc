package recipe

import (
	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// What tests look at from outside.
const (
	WhiteWithin  = whiteWithin
	ColourBeyond = colourBeyond
	NearFromNM   = nearFromNM
	Purest       = purest
)

func WhiteLight(mired float64) spectra.Spectrum { return whiteLight(mired) }

// Place gives the mired of the white nearest to p, the distance and the share of white.
func Place(p colour.XY) (mired, distance, share float64) {
	at := place(p)
	return firstMired + miredStep*(float64(at.index)+at.part), at.distance, at.share
}

func Canonical(p colour.XY) (spectra.Spectrum, bool) {
	s, _, ok := canonical(p, tilt{})
	return s, ok
}

func CanonicalWhite() *spectra.Spectrum { return canonicalWhite() }

// Pureness gives the share of the way from the white to the purest ring.
func Pureness(p colour.XY) float64 {
	at := wheelTable().find(p.UV())
	return (float64(at.ring) + at.out) / (rings - 1)
}

// Colour gives what the view sees of the reference light of a colour at one lumen.
func (r *Reference) Colour(p colour.XY) camera.RGB { return r.colour(p.UV()).Scale(9 / p.UV().V) }

func Blurred(s *spectra.Spectrum) []float64 { return blurred(s) }

func SecondDifferences(s *spectra.Spectrum) []float64 { return secondDifferences(s) }
