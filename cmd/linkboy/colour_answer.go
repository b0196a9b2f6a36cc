package main

import (
	"fmt"
	"io"

	"linkboy/colour"
	"linkboy/colour/camera"
)

// colourAnswer is what `linkboy colour` found, in the shape of its JSON.
type colourAnswer struct {
	Lamp        string           `json:"lamp"`
	Mode        string           `json:"mode"`
	Policy      string           `json:"policy"`
	Asked       pointJSON        `json:"asked"`
	Observer    *observerJSON    `json:"observer,omitempty"`
	Reached     reachedJSON      `json:"reached"`
	DeltaUV     float64          `json:"delta_uv"`
	Delta       *deltaJSON       `json:"delta,omitempty"`
	Level       float64          `json:"level"`
	Lumens      float64          `json:"lumens"`
	Drives      []driveJSON      `json:"drives"`
	Channels    []channelJSON    `json:"channels"`
	Quality     *qualityJSON     `json:"quality,omitempty"`
	Camera      *camera.Line     `json:"camera,omitempty"`
	Clip        *clipJSON        `json:"clip,omitempty"`
	Reach       [][2]float64     `json:"reach"` // corners in u'v' of all that the lamp can show
	Calibration *calibrationJSON `json:"calibration,omitempty"`
}

type pointJSON struct {
	XY [2]float64 `json:"xy"`
	UV [2]float64 `json:"uv"`
}

// reachedJSON has no CCT where the point is too far from the white locus for one to mean anything.
type reachedJSON struct {
	pointJSON
	CCT *float64 `json:"cct,omitempty"`
	Duv *float64 `json:"duv,omitempty"`
}

// observerJSON is the reached light to an observer other than the 2-degree one
// that everything else is solved for.
type observerJSON struct {
	Name string `json:"name"`
	pointJSON
}

// deltaJSON is how far apart asked and reached look, as white patches in a dim
// room adapted to the balance.
type deltaJSON struct {
	DE2000 float64 `json:"ciede2000"`
	CAM16  float64 `json:"cam16_ucs"`
}

// clipJSON is by how many stops the light may meter over the key before a white
// shirt clips, with so many stops from grey to clipping.
type clipJSON struct {
	OverKeyStops float64 `json:"over_key_stops"`
	RangeStops   float64 `json:"range_stops"`
}

type driveJSON struct {
	Emitter string  `json:"emitter"`
	Drive   float64 `json:"drive"`
}

type channelJSON struct {
	Offset int    `json:"offset"`
	Name   string `json:"name"`
	Bits   int    `json:"bits"`
	Value  int    `json:"value"`
}

// qualityJSON leaves out what means nothing for a light that is no white.
type qualityJSON struct {
	Ra           *float64 `json:"ra,omitempty"`
	R9           *float64 `json:"r9,omitempty"`
	Rf           *float64 `json:"rf,omitempty"`
	Rg           *float64 `json:"rg,omitempty"`
	SSI          *float64 `json:"ssi,omitempty"`
	SSIReference string   `json:"ssi_reference,omitempty"`
	TLCI         *float64 `json:"tlci,omitempty"`
	Efficacy     float64  `json:"lm_per_w"`
	Dominant     float64  `json:"dominant_nm"`
	Purity       float64  `json:"purity"`
}

func pointOf(p colour.XY) pointJSON {
	uv := p.UV()
	return pointJSON{XY: [2]float64{p.X, p.Y}, UV: [2]float64{uv.U, uv.V}}
}

// printColour prints one readable page.
func printColour(w io.Writer, a *colourAnswer) {
	fmt.Fprintf(w, "%s, mode %s, level %.1f %%, %s mix\n", a.Lamp, a.Mode, a.Level*100, a.Policy)
	fmt.Fprintf(w, "  asked    xy %.4f %.4f   u'v' %.4f %.4f\n", a.Asked.XY[0], a.Asked.XY[1], a.Asked.UV[0], a.Asked.UV[1])
	fmt.Fprintf(w, "  reached  xy %.4f %.4f   u'v' %.4f %.4f", a.Reached.XY[0], a.Reached.XY[1], a.Reached.UV[0], a.Reached.UV[1])
	if a.Reached.CCT != nil {
		fmt.Fprintf(w, "   %.0f K  Duv %+.4f", *a.Reached.CCT, *a.Reached.Duv)
	}
	if o := a.Observer; o != nil {
		fmt.Fprintf(w, "\n  %-8s xy %.4f %.4f   u'v' %.4f %.4f", o.Name, o.XY[0], o.XY[1], o.UV[0], o.UV[1])
	}
	fmt.Fprintf(w, "\n  off by   %.4f u'v'", a.DeltaUV)
	if a.Delta != nil {
		fmt.Fprintf(w, ", CIEDE2000 %.1f, CAM16-UCS %.1f (white patches in a dim room)", a.Delta.DE2000, a.Delta.CAM16)
	}
	source := "from invented numbers where the lamp type is a generic one"
	if a.Calibration.readLight() {
		source = "from the lamp's readings, see below"
	}
	fmt.Fprintf(w, "\n  light    %.0f lm (%s)\n", a.Lumens, source)
	if a.Quality != nil {
		printQuality(w, a.Quality)
	}
	if a.Camera != nil {
		fmt.Fprintf(w, "  camera   %s\n", a.Camera)
		fmt.Fprintf(w, "  clips    a white shirt %.1f stops over the key by the meter (%.4g stops from grey to clipping)\n", a.Clip.OverKeyStops, a.Clip.RangeStops)
	}
	fmt.Fprintln(w, "  drives, linear in light:")
	for _, d := range a.Drives {
		fmt.Fprintf(w, "    %-12s %6.2f %%\n", d.Emitter, d.Drive*100)
	}
	fmt.Fprintln(w, "  channels:")
	for _, c := range a.Channels {
		fmt.Fprintf(w, "    %3d  %-24s %2d bit  %5d\n", c.Offset+1, c.Name, c.Bits, c.Value)
	}
	if a.Calibration != nil {
		printCalibration(w, a.Calibration)
	}
}

// printQuality prints the figures that mean something for this light.
func printQuality(w io.Writer, q *qualityJSON) {
	fmt.Fprintf(w, "  spectrum %.0f lm/W, dominant %.0f nm, purity %.0f %% (against equal energy)\n", q.Efficacy, q.Dominant, q.Purity*100)
	if q.Ra == nil && q.SSI == nil && q.Rf == nil {
		fmt.Fprintln(w, "  quality  too far from white for rendering figures")
		return
	}
	fmt.Fprint(w, "  quality ")
	figure := func(name string, v *float64) {
		if v != nil {
			fmt.Fprintf(w, " %s %.0f", name, *v)
		}
	}
	figure("Ra", q.Ra)
	figure("R9", q.R9)
	figure("Rf", q.Rf)
	figure("Rg", q.Rg)
	figure("SSI["+q.SSIReference+"]", q.SSI)
	figure("TLCI", q.TLCI)
	fmt.Fprintln(w)
}
