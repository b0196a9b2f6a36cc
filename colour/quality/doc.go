// Package quality says what a light does to the colours it falls on, from its
// spectrum: the general and special colour rendering indices of the CIE, the
// fidelity and gamut of TM-30, the spectral similarity index, and the
// television lighting consistency index; with its correlated colour
// temperature, Duv, dominant wavelength and purity beside them.
//
// Which figure to use:
//
//	SSI   will any camera see this light as it sees the reference? Compares
//	      spectra, knows no camera, and so is the strictest
//	TLCI  how much work will a colourist have? One broadcast camera, 18 patches
//	TM30  how true and how vivid do colours look to the eye? 99 samples
//	CRI   the old figure of lamp catalogues, 8 pale samples; kind to narrow
//	      emitters, so look at R9 too
//
// Every figure compares the light with a reference of the same colour
// temperature, so none of them means anything for a light that is not about
// white: then the function returns an error that says so.
//
// A spectrum is taken at the steps of its grid, 1 nm. The tables that CIE and
// EBU have printed are plain sums at 5 nm, which moves CRI's Ra by up to 0.3 and
// R9 by up to 1.5 for spiky lights; functions with a Step give either. Data in
// the standards lie 5 nm apart and are taken straight between.
//
// Everything is pure and may be used from any goroutine; tables are read once,
// at their first use.
//
// References, cited by key in the code:
//
//	CIE 13.3     CIE 13.3-1995, Method of measuring and specifying colour
//	             rendering properties of light sources
//	CIE 224      CIE 224:2017, Colour fidelity index for accurate scientific use
//	TM-30        ANSI/IES TM-30-20, Method for evaluating light source color
//	             rendition
//	ST 2122      SMPTE ST 2122:2020, Spectral Similarity Index (SSI); the same
//	             as the Academy's S-2018-001
//	Tech 3355    EBU Tech 3355 (2017), Method for the assessment of the
//	             colorimetric properties of luminaires: TLCI-2012 and TLMF-2013
//	Tech 3353    EBU Tech 3353 (2017), Development of a "standard" television
//	             camera model implemented in the TLCI-2012
//	BT.709       ITU-R BT.709-6 (2015), parameter values for HDTV
//	BT.1886      ITU-R BT.1886 (2011), reference electro-optical transfer function
//	CIE 15       CIE 015:2018, Colorimetry, 4th edition
//	CIE 159      CIE 159:2004, A colour appearance model for colour management
//	             systems: CIECAM02
//	CIE 11664-1  ISO/CIE 11664-1:2019, CIE standard colorimetric observers
//	Luo2006      M. R. Luo, G. Cui, C. Li, Uniform colour spaces based on
//	             CIECAM02 colour appearance model, Color Res. Appl. 31(4)
//	             320-330, 2006
package quality
