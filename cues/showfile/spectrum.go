package showfile

import (
	"errors"

	"gopkg.in/yaml.v3"

	"linkboy/colour"
	"linkboy/colour/spectra"
	"linkboy/cues"
)

// Ranges of spectra: what the observers see, and widths from a laser's to a
// broad phosphor's.
var (
	peaks  = span{spectra.FirstNM, spectra.LastNM}
	widths = span{1, 400}
	powers = span{0, 1e9}
)

// spectrum reads the relative spectrum of an emitter in one of three forms:
//
//	{peak: 630 nm, width: 18 nm}              one LED; width is that at half height
//	[{peak, width, share: 20%}, ...]          a sum, as of a pump and its phosphor; shares of radiant power
//	{nm: [400, 410, ...], power: [0, 3, ...]} a table, straight between its points and 0 outside
func (r *reader) spectrum(n *yaml.Node) spectra.Spectrum {
	var sum spectra.Spectrum
	switch {
	case has(n, "nm") || has(n, "power"):
		return r.spectrumTable(n)
	case n.Kind == yaml.SequenceNode:
		r.items(n, "the spectrum", func(item *yaml.Node) { r.peak(item, &sum, true) })
	default:
		r.peak(n, &sum, false)
	}
	return sum
}

// peak adds one LED model to sum, with its share of the radiant power.
func (r *reader) peak(n *yaml.Node, sum *spectra.Spectrum, shared bool) {
	var peak, width float64
	share := 1.0
	known := schema{
		"peak":  need(r.into(&peak, "the peak", "nm", peaks)),
		"width": need(r.into(&width, "the width", "nm", widths)),
	}
	if shared {
		known["share"] = need(r.percent(&share, "share"))
	}
	if !r.keys(n, "a peak of a spectrum", known) || peak == 0 || width == 0 {
		return
	}
	led := spectra.Ohno(peak, width)
	*sum = sum.Add(led.Scale(share / led.Power()))
}

func (r *reader) spectrumTable(n *yaml.Node) spectra.Spectrum {
	var nm, power []float64
	before := len(r.sink.problems)
	column := func(dst *[]float64, what string, in span) func(*yaml.Node) {
		return func(n *yaml.Node) {
			r.items(n, what, func(item *yaml.Node) {
				v, _ := r.number(item, what, in)
				*dst = append(*dst, v)
			})
		}
	}
	ok := r.keys(n, "the table of a spectrum", schema{
		"nm":    need(column(&nm, "nm", span{1, 5000})),
		"power": need(column(&power, "power", powers)),
	})
	if !ok || len(r.sink.problems) > before {
		return spectra.Spectrum{}
	}
	s, err := spectra.FromTable(nm, power)
	if err != nil {
		why, mend := err.Error(), "write rising wavelengths in nm and as many powers"
		var known *colour.Error
		if errors.As(err, &known) {
			why, mend = known.Why, known.Mend
		}
		r.problem(n, cues.CodeBadLampType, "the table of a spectrum makes no sense", why, mend)
	}
	return s
}
