// Package photometry works out, from what is known of a lamp, how much light
// falls on a place and how bright the lamp looks: the closed forms of the
// handbooks, for direct light in clear air.
//
// Which one to use:
//
//	InverseSquare  a source that is small against its distance, by its candela
//	Beam           candela of a lamp with a beam angle, or a beam and a field
//	               angle, from its lumens
//	UniformCone    candela where all that is known is one angle; too high
//	Line           a tube or a strip, at any distance
//	Disc, Panel    a soft source, at any distance
//	Luminance      how bright a source or a matt surface is: what a camera sees
//	Diffusion      what a diffuser in front of a lamp makes of its beam
//	Throw          distances on a set
//
// A source is taken as Lambertian where it has a size: equally bright from
// every side. Real tubes are nearly so (measured beams are 107 to 146 degrees
// where an ideal one has 120) and optics on a panel make it brighter in front.
// What is left out: light that comes back from walls, ground and haze, and a
// source that is partly hidden. Measure a lamp once, with a lux meter at a known
// distance, and scale.
//
// Units: lengths in metres, lm, cd, lx, cd/m2 and degrees as the named types;
// angles that are asked for very often are taken as their cosine. A cosine
// under 0, light from behind, gives 0 lx. Distances under a nanometre, and under
// 0, count as one. Functions that take a cosine or a position never fail and
// never allocate; New functions check what they are given, and every error is
// a *colour.Error. Everything may be used from any goroutine.
//
// References, cited by key in the code; chapter and configuration numbers
// without a page are from memory:
//
//	CIE S 017  CIE S 017:2020, International lighting vocabulary: photometric
//	           distance law, beam angle (17-27-077), Lambert's cosine law
//	IES HB     IES Lighting Handbook: line sources (p. 8-41), cosine power
//	           distributions, field angle (10 %)
//	Howell     J. R. Howell, M. P. Mengüç, A catalog of radiation heat transfer
//	           configuration factors, section B: from a differential element
//	Lambert    J. H. Lambert, Photometria, 1760: the exact light of a polygon
//	DLMF       NIST Digital Library of Mathematical Functions, 5.9.1: the
//	           integral of exp(-t^p)
//	Takahasi1974  H. Takahasi, M. Mori, Double exponential formulas for
//	           numerical integration, Publ. RIMS Kyoto 9, 721-741, 1974
package photometry
