// Package camera sees light as a camera does: how much of it each colour
// channel of a sensor takes in once the camera is balanced to a white, by how
// much the hottest channel runs ahead of what a light meter says, and how far
// it stays from clipping.
//
// A meter and a camera agree about white light and about nothing else. A
// saturated blue that a meter puts two stops under the key may sit at the top
// of the blue channel, and two lights that look alike may differ by a third of
// a stop from one channel to the next.
//
// From a sensor to an answer:
//
//	Sensor    the measured sensitivities of a camera: one of Sensors, or ReadCSV
//	View      a Sensor balanced to a white: Sensor.Balance, Sensor.BalanceAt
//	Response  what a View and a meter make of a light: View.Response. It is
//	          linear: the response of a sum of lights is the sum of theirs
//	Prepared  the responses of a lamp's emitters, each worked out once, so that
//	          a mix costs a few multiplications
//	Exposure  how the camera is exposed: Exposure.ClipMargin
//
// Units: channel levels and what a meter reads are both in the unit of the
// spectrum's luminous flux: lumens for a spectrum in W/nm, lux where lights
// are scaled to lux. A light of the balance white has the same number in all
// four. Stops are binary logarithms of ratios of light.
//
// What is left out: the infrared and lens filters that a sensitivity was not
// measured with, matrices and gamut mapping after the sensor, and highlights
// rebuilt from channels that have not clipped. Take an excess as good to half
// a stop until it is measured with the camera that shoots.
//
// Everything is CIE 1931 2-degree, as light meters are. Views and prepared
// responses may be used from any goroutine.
//
// References, cited by key in the code:
//
//	CIE 15          CIE 015:2018, Colorimetry, 4th edition
//	Darrodi2015     M. M. Darrodi, G. Finlayson, T. Goodman, M. Mackiewicz,
//	                Reference data set for camera spectral sensitivity
//	                estimation, J. Opt. Soc. Am. A 32(3) 381, 2015
//	ISO 17321-1     ISO 17321-1:2012, Colour characterisation of digital still
//	                cameras, 1: stimuli, metrology and test procedures
//	EBU Tech 3355   EBU Tech 3355 (2017), Method for the assessment of the
//	                colorimetric properties of luminaires (TLCI-2012)
package camera
