// Package recipe chooses the mix: with more than three emitters a colour has many,
// which the eye sees alike while cameras and the things that are lit do not. It joins a
// lamp type with a policy and gives one solver for its cells.
//
// The policies:
//
//	brightest  the mix with the most light; nothing else counts
//	truest     the same light for the eye, of the spectrum nearest to a reference: for
//	           whites the reference white, for colours the smoothest that can be
//	camera     what one camera sees comes first: its channels stand to each other, and to
//	           the level, as they would under a reference light of that colour. The eye's
//	           colour gives way
//
// The reference white of a temperature is the black body up to 4000 K and the phase of
// daylight from 5000 K, as rendering indices have it, and a blend of both between, in
// equal steps of mired, so that it moves without a step. A light counts as a white up to a
// distance of 0.0054 from these whites in CIE 1960 uv, within which colour rendering is
// defined [CIE 13.3], as a colour from 0.05, from which a colour temperature means nothing
// [CIE 15], and as something of both between.
//
// Nearest means the least squares of the difference at every nanometre from 375 to 675 nm,
// after a blur of 30 nm; smoothest the least squares of the second difference.
//
// Every solve is continuous in the colour and the level, allocates nothing and integrates
// no spectra: what they give is worked out when the recipe is made.
//
// References, cited by key in the code:
//
//	CIE 13.3      CIE 13.3-1995, Method of measuring and specifying colour rendering
//	              properties of light sources, section 5.3
//	CIE 15        CIE 015:2018, Colorimetry, 4th edition
//	Robertson1968 A. R. Robertson, Computation of correlated color temperature and
//	              distribution temperature, J. Opt. Soc. Am. 58(11) 1528-1535, 1968
//	Jaynes1957    E. T. Jaynes, Information theory and statistical mechanics,
//	              Phys. Rev. 106(4) 620-630, 1957
//	Kullback1959  S. Kullback, Information theory and statistics, Wiley, 1959
package recipe
