// Package spectra knows spectral power distributions: how the CIE 1931
// observer sees them, and those that follow from a formula: black bodies,
// phases of daylight and the model of an LED.
//
// References:
//
//	CIE 15            CIE 015:2018, Colorimetry, 4th edition
//	Ohno2005          Y. Ohno, Spectral design considerations for white LED color
//	                  rendering, Opt. Eng. 44(11) 111302, 2005
//	CIE 11664-1       ISO/CIE 11664-1:2019, CIE standard colorimetric observers
package spectra
