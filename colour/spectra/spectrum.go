// Package spectra knows spectral power distributions, the observers that see
// them and the tables of standard illuminants.
package spectra

// The grid every Spectrum lives on: 1 nm steps, the range of the CIE tables.
const (
	FirstNM = 360
	LastNM  = 830
	Samples = LastNM - FirstNM + 1
)

// Spectrum is relative spectral power at 1 nm steps from FirstNM to LastNM.
type Spectrum [Samples]float64
