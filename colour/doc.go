// Package colour holds the values of colour and light that the rest of linkboy
// speaks in: tristimulus values, chromaticities, correlated colour temperature
// with Duv, levels, and the forms in which a person names a colour.
//
// Units: wavelengths in nm, temperatures in K, Duv in CIE 1960 uv, luminous
// flux in lm. Everything is CIE 1931 2-degree unless a name says otherwise.
// Functions are pure: no clock, no I/O but embedded tables. Everything may be
// used from any goroutine; tables are worked out once, at their first use
// (the Planckian locus takes a few milliseconds).
//
// Which type to use:
//
//	XYZ     amounts of light: they add up
//	XY      a chromaticity, to keep and to hand on
//	UV      a chromaticity, to measure differences and to draw straight lines in
//	CCT     a white, as people on a set say it
//	OKLab   lightness, hue and chroma as they look: the way of a fade
//	Form    a colour as it was written
//
// References, cited by key in the code:
//
//	CIE 15        CIE 015:2018, Colorimetry, 4th edition; equation numbers
//	              are those of CIE 15:2004
//	CIE 11664-1   ISO/CIE 11664-1:2019, CIE standard colorimetric observers
//	Ohno2014      Y. Ohno, Practical use and calculation of CCT and Duv,
//	              Leukos 10(1) 47-55, 2014
//	BT.709        ITU-R BT.709-6 (2015), parameter values for HDTV
//	BT.2020       ITU-R BT.2020-2 (2015), parameter values for UHDTV
//	RP177         SMPTE RP 177:1993, derivation of basic television colour equations
//	Lam1985       K. M. Lam, Metamerism and colour constancy, PhD thesis,
//	              University of Bradford, 1985
//	Ottosson2020  B. Ottosson, A perceptual color space for image processing, 2020
//	CSS4          W3C CSS Color Module Level 4
//	css-syntax-3  W3C CSS Syntax Module Level 3
package colour
