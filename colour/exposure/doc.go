// Package exposure is the arithmetic between light and a camera's settings:
// what a meter asks for, exposure values, shutter angles, T-stops, filters, and
// ratios in stops.
//
// From one to another:
//
//	Settings       sensitivity, stop and time; EV, EV100
//	Meter          Settings to lux and cd/m2, and back to a stop, a time or a
//	               sensitivity
//	ShutterSeconds, ShutterAngle, PlaybackSpeed
//	               angles, times and frame rates
//	TStop, NDStops, LossStops
//	               what glass takes away
//	KeyFill, SumFill
//	               the two lighting ratios, each with its name
//	SurfaceOverGrey, HeadroomHLG
//	               where skin and white come out, and where a curve ends
//	Stops, Factor  a ratio of light as binary logarithm, and back
//
// Light is what a meter sees: in saturated light a camera sees more of it than
// that; package camera says by how much. Meters differ by 0.1 to 0.3 stop,
// engravings of lenses by 0.1 to 0.2 (from memory).
//
// Units: lx and cd/m2 as in package photometry, seconds, frames a second,
// shutter angles in degrees. Functions are pure, never allocate and check
// nothing: what is said to be above 0 must be. Everything may be used from any
// goroutine.
//
// References, cited by key in the code:
//
//	ISO 2720   ISO 2720:1974, General purpose photographic exposure meters
//	           (photoelectric type): guide to product specification
//	ISO 5-3    ISO 5-3:2009, Photography and graphic technology: density
//	           measurements; density as the logarithm of what passes
//	BT.709     ITU-R BT.709-6 (2015), parameter values for HDTV
//	BT.2100    ITU-R BT.2100-2 (2018), high dynamic range television: HLG
//	BT.2408    ITU-R BT.2408, Guidance for operational practices in HDR
//	           television production
//	Viera2005  D. Viera, M. Viera, Lighting for film and digital
//	           cinematography, 2nd edition, 2005, as quoted
package exposure
