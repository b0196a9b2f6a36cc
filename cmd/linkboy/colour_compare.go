package main

import (
	"fmt"
	"math"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"linkboy/colour/camera"
)

// compareAnswer is what `linkboy colour --compare` found, in the shape of its
// JSON: every lamp, how far each is from the first, and what all can show.
type compareAnswer struct {
	Lamps    []*colourAnswer `json:"lamps"`
	Mismatch []mismatchJSON  `json:"mismatch"`
	Together *togetherJSON   `json:"together,omitempty"` // absent where nothing is common
}

// mismatchJSON is how far a lamp is from the first one of a comparison, at the
// same reading of a light meter.
type mismatchJSON struct {
	Lamp        string     `json:"lamp"`
	DeltaUV     float64    `json:"delta_uv"`
	DeltaDuv    *float64   `json:"delta_duv,omitempty"`
	CameraStops [3]float64 `json:"camera_stops"`
	WorstStops  float64    `json:"worst_stops"`
	// SpreadStops is what is left when exposure makes the best of it: the
	// colour difference that the camera sees.
	SpreadStops float64 `json:"spread_stops"`
	LightStops  float64 `json:"light_stops"`
}

// runCompare solves for every lamp and sets them against the first.
func runCompare(cmd *cobra.Command, lamps stock, asked askedColour, f colourFlags) error {
	if len(f.compare) < 2 {
		return usageError{mendedError{fmt.Errorf("--compare needs two lamp types or more"), "write them with a comma between: tube-rgb-2ft,panel-rgbacl"}}
	}
	var all []*solvedColour
	answer := compareAnswer{Mismatch: []mismatchJSON{}}
	for _, name := range f.compare {
		u, err := lamps.unit(name, "")
		if err != nil {
			return err
		}
		s, err := solve(u, asked)
		if err != nil {
			return err
		}
		if !(s.light.Y > 0) {
			return usageError{mendedError{fmt.Errorf("%s gives no light at this level", name), "compare at a higher level"}}
		}
		all = append(all, s)
		answer.Lamps = append(answer.Lamps, s.answer)
		if len(all) > 1 {
			answer.Mismatch = append(answer.Mismatch, mismatch(all[0], s))
		}
	}
	var err error
	if answer.Together, err = together(all, asked); err != nil {
		return err
	}
	if f.plot != "" {
		if err := plotColour(f.plot, all, asked); err != nil {
			return err
		}
	}
	if f.json {
		return writeJSON(cmd.OutOrStdout(), answer)
	}
	if err := printCompare(cmd, asked, answer); err != nil {
		return err
	}
	printTogether(cmd.OutOrStdout(), answer.Together)
	tellDrawn(cmd, f.plot)
	return nil
}

// mismatch sets lamp b against lamp a.
func mismatch(a, b *solvedColour) mismatchJSON {
	stops, worst := b.seen.Mismatch(a.seen)
	m := mismatchJSON{
		Lamp:        b.answer.Lamp,
		DeltaUV:     a.light.XY().UV().Distance(b.light.XY().UV()),
		CameraStops: [3]float64{finite(stops.R), finite(stops.G), finite(stops.B)},
		WorstStops:  finite(worst),
		SpreadStops: finite(max(stops.R, stops.G, stops.B) - min(stops.R, stops.G, stops.B)),
		LightStops:  finite(math.Log2(b.answer.Lumens / a.answer.Lumens)),
	}
	if a.answer.Reached.Duv != nil && b.answer.Reached.Duv != nil {
		d := *b.answer.Reached.Duv - *a.answer.Reached.Duv
		m.DeltaDuv = &d
	}
	return m
}

// farthest stands for an infinite distance in stops, which JSON cannot write:
// no camera has such a range.
const farthest = 99.0

func finite(stops float64) float64 { return min(max(stops, -farthest), farthest) }

// printCompare prints the lamps side by side and their mismatch.
func printCompare(cmd *cobra.Command, asked askedColour, a compareAnswer) error {
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "%s at %.1f %%, camera %s\n", asked.text, float64(asked.level)*100, asked.view.Name())
	table := tabwriter.NewWriter(out, 2, 0, 2, ' ', 0)
	fmt.Fprintln(table, "  lamp\tmode\txy\toff by u'v'\tK\tDuv\tlm\tRa\tSSI\tcamera excess")
	for _, l := range a.Lamps {
		fmt.Fprintf(table, "  %s\t%s\t%.4f %.4f\t%.4f\t%s\t%s\t%.0f\t%s\t%s\t%s\n", l.Lamp, l.Mode, l.Reached.XY[0], l.Reached.XY[1], l.DeltaUV,
			optional("%.0f", l.Reached.CCT), optional("%+.4f", l.Reached.Duv), l.Lumens,
			optional("%.0f", figureOf(l, func(q *qualityJSON) *float64 { return q.Ra })),
			optional("%.0f", figureOf(l, func(q *qualityJSON) *float64 { return q.SSI })), excessOf(l.Camera))
	}
	fmt.Fprintf(table, "  against %s, at the same meter reading\n", a.Lamps[0].Lamp)
	fmt.Fprintln(table, "  lamp\tu'v'\tDuv\tcamera R\tG\tB\tbetween channels\tlight")
	for _, m := range a.Mismatch {
		fmt.Fprintf(table, "  %s\t%.4f\t%s\t%+.2f\t%+.2f\t%+.2f\t%.2f stop\t%+.1f stop\n", m.Lamp, m.DeltaUV, optional("%+.4f", m.DeltaDuv),
			m.CameraStops[0], m.CameraStops[1], m.CameraStops[2], m.SpreadStops, m.LightStops)
	}
	return table.Flush()
}

func optional(format string, v *float64) string {
	if v == nil {
		return "-"
	}
	return fmt.Sprintf(format, *v)
}

func figureOf(l *colourAnswer, figure func(*qualityJSON) *float64) *float64 {
	if l.Quality == nil {
		return nil
	}
	return figure(l.Quality)
}

func excessOf(line *camera.Line) string {
	if line == nil {
		return "-"
	}
	return fmt.Sprintf("%+.2f stop in %s", line.ExcessStops, line.Hottest)
}
