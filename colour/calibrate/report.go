package calibrate

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/lamp"
)

// Report says what a fit did and how well it meets the readings.
type Report struct {
	Law      string     // of the light over distance, as Law.String
	Emitters []Emitter  // in the order of the type's
	Readings []Residual // in the order of the readings
	// Curve is the dimmer curve of the mode, and Made what the type had.
	Curve, Made lamp.Curve
	// The greatest and the root mean square residual of the readings used,
	// 0 where there are none.
	MostStops, RMSStops float64
	MostUV, RMSUV       float64
}

// Emitter says what was found for one emitter.
type Emitter struct {
	Name string
	// LumensBy and SpectrumBy say where they come from.
	LumensBy, SpectrumBy By
	Lumens, MadeLumens   float64 // of the unit and of the type
	XY, MadeXY           colour.XY
}

// By says what a number of an emitter is from.
type By string

// The sources of lumens and spectra.
const (
	ByType     By = "type"     // nothing was read; as the type has it
	ByOthers   By = "others"   // scaled as the unit's other emitters are on average
	ByLux      By = "lux"      // read
	BySpectrum By = "spectrum" // read
	ByXY       By = "xy"       // the type's, warped to the xy that was read
)

// Residual is how far one reading is from what the fitted lamp would give.
type Residual struct {
	Emitter string
	Drive   float64
	// LuxUsed and ColourUsed tell what of it the fit used.
	LuxUsed, ColourUsed bool
	// Stops is log2 of the lux read over the lux fitted, and DeltaUV the
	// distance in CIE 1976 u'v' of the colours; 0 where not used.
	Stops, DeltaUV float64
}

// residuals fills in the readings of the report.
func (f *fit) residuals() {
	r := &f.report
	var stops, uv float64
	var nStops, nUV int
	for _, v := range f.readings {
		one := Residual{Emitter: v.Emitter, Drive: v.Drive, LuxUsed: v.lux, ColourUsed: v.tint}
		if v.lux {
			one.Stops = math.Log2(v.lumens / (f.unit.Emitters[v.emitter].Lumens * f.curve.Light(v.control)))
			r.MostStops = max(r.MostStops, math.Abs(one.Stops))
			stops, nStops = stops+one.Stops*one.Stops, nStops+1
		}
		if v.tint {
			one.DeltaUV = v.colour.UV().Distance(r.Emitters[v.emitter].XY.UV())
			r.MostUV = max(r.MostUV, one.DeltaUV)
			uv, nUV = uv+one.DeltaUV*one.DeltaUV, nUV+1
		}
		r.Readings = append(r.Readings, one)
	}
	r.RMSStops, r.RMSUV = math.Sqrt(stops/float64(max(nStops, 1))), math.Sqrt(uv/float64(max(nUV, 1)))
}
