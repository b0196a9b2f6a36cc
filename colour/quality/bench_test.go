package quality_test

import (
	"testing"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// BenchmarkFigures is held against "look", one observer looking at one
// spectrum: a figure that looks at n samples under two lights cannot cost less
// than 2n of them.
func BenchmarkFigures(b *testing.B) {
	s := spectra.Ohno(455, 20).Add(spectra.Ohno(530, 40)).Add(spectra.Ohno(620, 30))
	r := spectra.Ohno(560, 120)
	figures := []struct {
		name string
		run  func()
	}{
		{"look", func() { s.XYZ() }},
		{"CRI", func() { _, _ = quality.CRI(s) }},     // 14 samples and a white, twice
		{"TM30", func() { _, _ = quality.TM30(s) }},   // 99 samples and a white, twice
		{"SSI", func() { _, _ = quality.SSI(s, r) }},  // two spectra
		{"TLCI", func() { _, _ = quality.TLCI(s) }},   // 18 samples and a white, twice
		{"all", func() { _, _ = quality.Measure(s) }}, // what the colour command asks for
	}
	for _, f := range figures {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.run()
			}
		})
	}
}
