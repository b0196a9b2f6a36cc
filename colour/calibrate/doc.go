// Package calibrate turns what a meter read of one lamp into that lamp's own
// type: the lumens and the spectrum of its emitters and its dimmer curve.
//
// A reading is of one emitter alone, the rest dark, at one share of its
// channel's control, with the lamp's dimmer at full: the illuminance at a
// distance on the axis, the chromaticity, the spectrum, or several of them.
// Warm the lamp up for ten minutes first: red and amber lose a third of a stop
// with heat.
//
// # From lux to lumens
//
// The type's photometry says what a lumen gives on the axis (see LawOf), so one
// lux at a distance gives the lumens. Only their ratio from emitter to emitter
// and from lamp to lamp matters to a mix; the beam of the unit is taken to be
// the type's.
//
// # From a chromaticity to a spectrum
//
// A measured spectrum takes the place of the type's. A chromaticity alone
// leaves the spectrum open; taken is the one of that chromaticity that is
// nearest to the type's in relative entropy (see Warp), which moves the peak
// of a single LED and tilts the spectrum of a white.
//
// # The dimmer curve
//
// Lux of one or more emitters at several levels give the share of light at
// those levels. The curve runs through them as the type's curve does: between
// two of them it is the type's raised to a power (emitters.Through).
//
// # References
//
//	Csi1975   I. Csiszár, I-divergence geometry of probability distributions and
//	          minimization problems, Ann. Probab. 3(1), 1975 (from memory)
//	IES       the lighting handbook of the Illuminating Engineering Society, on the
//	          illuminance of line and disc sources (from memory)
//	Bar1972   R.E. Barlow et al., Statistical Inference under Order
//	          Restrictions, 1972: pool adjacent violators (from memory)
package calibrate
