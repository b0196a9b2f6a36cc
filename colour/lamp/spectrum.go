package lamp

import (
	"linkboy/colour/emitters"
	"linkboy/colour/spectra"
)

// EmitterSpectra returns the spectrum of each emitter of one cell of mode m at full
// drive, scaled to its lumens: its XYZ is the emitter's Full in CellOf.
func (t *Type) EmitterSpectra(m *Mode) []spectra.Spectrum {
	out := make([]spectra.Spectrum, len(t.Emitters))
	for i, e := range t.Emitters {
		out[i] = e.Spectrum.Scale(e.Lumens / float64(m.Cells) / e.Spectrum.XYZ().Y)
	}
	return out
}

// Spectrum returns the spectrum of one cell of mode m at drives d, scaled to its
// lumens: light adds up.
func (t *Type) Spectrum(m *Mode, d emitters.Drives) spectra.Spectrum {
	var sum spectra.Spectrum
	for i, s := range t.EmitterSpectra(m) {
		sum = sum.Add(s.Scale(d[i]))
	}
	return sum
}
