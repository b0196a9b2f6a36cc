// Package difference says how far apart two colours look: the CIE 1976 spaces
// CIELAB and CIELUV with their distances, the CIEDE2000 formula on CIELAB, and
// the colour appearance model CAM16 with its uniform space CAM16-UCS, always
// under viewing conditions that the caller states.
//
// Which one to use:
//
//	DE2000       two surfaces or patches under one white; the figure of most
//	             tolerances. Made for differences up to about 5
//	Luv          lights on one screen or sky: additive mixtures lie on straight
//	             lines in its u'v' plane
//	UCSDistance  large differences, and whatever depends on how bright the
//	             adapting field and the surround are
//
// Every colour is taken relative to a white: XYZ in any unit, as long as
// colour and white share it. Distances have no unit; 1 is about what an
// observer just notices side by side, in Lab and UCS alike (common practice,
// no source).
//
// Functions are pure; only NewEye allocates. Input of any size that light has
// (up to 1e12 times the white) gives finite output, also outside the solid of
// real colours.
//
// References, cited by key in the code:
//
//	CIE 15       CIE 015:2018, Colorimetry, 4th edition; ISO/CIE 11664-4:2019
//	             (L*a*b*), ISO/CIE 11664-5:2016 (L*u*v*)
//	CIE 11664-6  ISO/CIE 11664-6:2014, CIEDE2000 colour-difference formula
//	Sharma2005   G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 color-difference
//	             formula: implementation notes, supplementary test data, and
//	             mathematical observations, Color Res. Appl. 30(1) 21-30, 2005
//	Li2017       C. Li et al., Comprehensive color solutions: CAM16, CAT16, and
//	             CAM16-UCS, Color Res. Appl. 42(6) 703-718, 2017
//	Luo2006      M. R. Luo, G. Cui, C. Li, Uniform colour spaces based on
//	             CIECAM02 colour appearance model, Color Res. Appl. 31(4)
//	             320-330, 2006
//	CIE 159      CIE 159:2004, A colour appearance model for colour management
//	             systems: CIECAM02; its surrounds serve CAM16 too
package difference
