package main

import (
	"fmt"
	"io"
	"slices"
	"text/tabwriter"

	"linkboy/colour/calibrate"
	"linkboy/cues"
)

// calibrationJSON is what a lamp's readings made of its type, and how well it
// meets them.
type calibrationJSON struct {
	Type       string                `json:"type"`
	Law        string                `json:"law"` // of light over distance: line, disc or point
	Curve      string                `json:"curve"`
	MadeCurve  string                `json:"made_curve"`
	Emitters   []fittedEmitterJSON   `json:"emitters"`
	Readings   []readingResidualJSON `json:"readings"`
	WorstStops float64               `json:"worst_stops"`
	WorstUV    float64               `json:"worst_uv"`
}

type fittedEmitterJSON struct {
	Emitter    string     `json:"emitter"`
	Lumens     float64    `json:"lumens"`
	MadeLumens float64    `json:"made_lumens"`
	LumensBy   string     `json:"lumens_by"`
	XY         [2]float64 `json:"xy"`
	MadeXY     [2]float64 `json:"made_xy"`
	SpectrumBy string     `json:"spectrum_by"`
}

// readingResidualJSON has no residual of what was not read or not used.
type readingResidualJSON struct {
	Emitter string   `json:"emitter"`
	Drive   float64  `json:"drive"`
	Stops   *float64 `json:"stops,omitempty"`
	DeltaUV *float64 `json:"delta_uv,omitempty"`
}

// calibrationOf describes the readings of a lamp; nil for one without.
func calibrationOf(k *cues.KitLamp) *calibrationJSON {
	if k == nil || k.Calibration == nil {
		return nil
	}
	r := k.Calibration.Report
	c := &calibrationJSON{
		Type: k.Calibration.Made.Name, Law: r.Law, Curve: string(r.Curve), MadeCurve: string(r.Made),
		WorstStops: r.MostStops, WorstUV: r.MostUV,
	}
	for _, e := range r.Emitters {
		c.Emitters = append(c.Emitters, fittedEmitterJSON{
			Emitter: e.Name, Lumens: e.Lumens, MadeLumens: e.MadeLumens, LumensBy: string(e.LumensBy),
			XY: [2]float64{e.XY.X, e.XY.Y}, MadeXY: [2]float64{e.MadeXY.X, e.MadeXY.Y}, SpectrumBy: string(e.SpectrumBy),
		})
	}
	for _, one := range r.Readings {
		c.Readings = append(c.Readings, residualOf(one))
	}
	return c
}

// readLight reports whether lumens follow from lux that were read.
func (c *calibrationJSON) readLight() bool {
	return c != nil && slices.ContainsFunc(c.Emitters, func(e fittedEmitterJSON) bool { return e.LumensBy == string(calibrate.ByLux) })
}

func residualOf(r calibrate.Residual) readingResidualJSON {
	out := readingResidualJSON{Emitter: r.Emitter, Drive: r.Drive}
	if r.LuxUsed {
		out.Stops = &r.Stops
	}
	if r.ColourUsed {
		out.DeltaUV = &r.DeltaUV
	}
	return out
}

// printCalibration prints what the readings changed and what they are off by.
func printCalibration(w io.Writer, c *calibrationJSON) {
	fmt.Fprintf(w, "  fitted to %s (light over distance: %s), off by at most %.2f stop and %.4f u'v'\n", plural(len(c.Readings), "reading"), c.Law, c.WorstStops, c.WorstUV)
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, e := range c.Emitters {
		fmt.Fprintf(table, "    %s\t%.0f lm\tmade %.0f\tby %s\txy %.4f %.4f\tmade %.4f %.4f\tby %s\n",
			e.Emitter, e.Lumens, e.MadeLumens, e.LumensBy, e.XY[0], e.XY[1], e.MadeXY[0], e.MadeXY[1], e.SpectrumBy)
	}
	_ = table.Flush()
	fmt.Fprintf(w, "    dimmer curve  %s, made %s\n", c.Curve, c.MadeCurve)
	for i, r := range c.Readings {
		fmt.Fprintf(table, "    reading %d\t%s\tat %.4g %%\t%s\t%s\n", i+1, r.Emitter, r.Drive*100, optional("%+.2f stop", r.Stops), optional("%.4f u'v'", r.DeltaUV))
	}
	_ = table.Flush()
}
