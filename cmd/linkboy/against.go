package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/against"
	"linkboy/cues/take"
)

// againstArgs are what a look is set against.
type againstArgs struct {
	location, look, other, setup string
	asJSON                       bool
}

// runAgainst is `linkboy look --against`: a look against another one of the location, as
// one of its set-ups has both.
func runAgainst(cmd *cobra.Command, show *cues.Show, a againstArgs) error {
	place, err := placeOf(cmd, show, a.location)
	if err != nil {
		return err
	}
	var looks [2]*cues.Look
	for i, name := range []string{a.look, a.other} {
		if looks[i] = show.Look(place.Location, name); looks[i] == nil {
			return noSuch("look", name, show.LookNames(place.Location))
		}
	}
	if place, err = lit(cmd, place, looks[:]...); err != nil {
		return err
	}
	if a.setup != "" || len(place.Location.Setups) > 0 {
		u, err := setupOf(place.Location, a.setup)
		if err != nil {
			return err
		}
		place = place.WithSetup(u)
	}
	report, problems := against.Of(place, looks[0], looks[1])
	if report == nil {
		printProblems(cmd.ErrOrStderr(), show.Dir, problems)
		return errBadShow
	}
	if a.asJSON {
		return writeJSON(cmd.OutOrStdout(), report)
	}
	return printAgainst(cmd.OutOrStdout(), report)
}

func printAgainst(w io.Writer, r *against.Report) error {
	fmt.Fprintf(w, "%s against %s at %s\n", r.Look, r.Against, r.Location)
	if r.Same {
		fmt.Fprintln(w, "  the same light")
	}
	for _, p := range []struct {
		what string
		of   against.Pair
	}{{"wears", r.Wears}, {"policy", r.Policy}} {
		if p.of.Differs() {
			fmt.Fprintf(w, "  %s %s, not %s\n", p.what, orNothing(p.of.Look), orNothing(p.of.Against))
		}
	}
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	fmt.Fprintln(table, "  group\tstops\tdelta u'v'\tworst cell\t\tin words")
	for _, g := range r.Groups {
		words := g.Level
		if g.Colour != "" {
			words += ", " + g.Colour
		}
		fmt.Fprintf(table, "  %s\t%+.2f\t%.4f\t%+.2f\t%.4f\t%s\n", g.Name, g.Stops, g.DeltaUV, g.CellStops, g.CellDeltaUV, words)
		if g.Look.Written != g.Against.Written {
			fmt.Fprintf(table, "  \t\t\t\t\t%s, not %s\n", orElsewhere(g.Look.Written), orElsewhere(g.Against.Written))
		}
	}
	if err := table.Flush(); err != nil {
		return err
	}
	printApart(w, r.Lamps)
	for _, p := range r.Parameters {
		fmt.Fprintf(w, "  %s has %s %s, not %s\n", p.Lamp, p.Name, amount(p.Look, p.Unit), amount(p.Against, p.Unit))
	}
	for _, m := range r.Movement {
		fmt.Fprintf(w, "  %s moves %s, not %s\n", m.Group, orNothing(m.Look), orNothing(m.Against))
	}
	return nil
}

// printApart lists the lamps that differ, the worst first.
func printApart(w io.Writer, lamps []take.Difference) {
	for _, d := range lamps {
		if d.State == take.Near {
			continue
		}
		fmt.Fprintf(w, "  %s: %+.2f stops, %.4f u'v'", d.Rig, d.Stops, d.DeltaUV)
		if d.Cell > 0 && (d.CellStops != d.Stops || d.CellDeltaUV != d.DeltaUV) {
			fmt.Fprintf(w, "; cell %d %+.2f stops, %.4f u'v'", d.Cell, d.CellStops, d.CellDeltaUV)
		}
		fmt.Fprintln(w)
	}
}

func amount(v float64, unit string) string {
	text := fmt.Sprintf("%.3g", v)
	switch unit {
	case "":
		return text
	case "%":
		return text + "%"
	}
	return text + " " + unit
}

// orElsewhere says that a group has its light by paint on other groups.
func orElsewhere(text string) string {
	if text == "" {
		return "by other groups"
	}
	return text
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}
