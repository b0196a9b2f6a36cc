package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"linkboy/colour/lamp"
	"linkboy/cues/showfile"
)

// lampTypeJSON is one lamp type as `linkboy lamps --json` prints it.
type lampTypeJSON struct {
	Name     string        `json:"name"`
	Title    string        `json:"title"`
	Class    string        `json:"class"`
	Source   string        `json:"source"`
	Invented bool          `json:"invented"`
	Cells    int           `json:"cells"`
	Watts    float64       `json:"watts"`
	Emitters []emitterJSON `json:"emitters"`
	// Reach is the gamut of a cell: corners in u'v', counter-clockwise.
	Reach [][2]float64 `json:"reach"`
	Modes []modeJSON   `json:"modes"`
}

type emitterJSON struct {
	Name   string     `json:"name"`
	XY     [2]float64 `json:"xy"`
	Lumens float64    `json:"lumens"`
}

type modeJSON struct {
	Name      string            `json:"name"`
	Cells     int               `json:"cells"`
	Footprint int               `json:"footprint"`
	Channels  []channelNameJSON `json:"channels"`
}

type channelNameJSON struct {
	Offset int    `json:"offset"`
	Name   string `json:"name"`
	Bits   int    `json:"bits"`
}

func newLamps() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "lamps [SHOW]",
		Short: "List the lamp types known: modes, channels, emitters and reach",
		Long: `Lists the built-in lamp types, and those of a show when one is named. With --json
every mode has its channels, and every type the corners of its gamut in u'v'.`,
		Example: "  linkboy lamps\n  linkboy lamps my-show --json",
		Args:    atMostOne("SHOW"),
		RunE: func(cmd *cobra.Command, args []string) error {
			types := showfile.BuiltinTypes()
			if len(args) == 1 {
				show, err := loadShow(cmd, args[0])
				if err != nil {
					return err
				}
				types = show.Types
			}
			list := make([]lampTypeJSON, 0, len(types))
			for _, typ := range types {
				entry, err := describeType(typ)
				if err != nil {
					return err
				}
				list = append(list, entry)
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), map[string]any{"lamps": list})
			}
			return printTypes(cmd.OutOrStdout(), list)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// atMostOne allows no argument or one.
func atMostOne(name string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) > 1 {
			return exactly(name)(cmd, args)
		}
		return nil
	}
}

func describeType(typ *lamp.Type) (lampTypeJSON, error) {
	entry := lampTypeJSON{
		Name: typ.Name, Title: typ.Title, Class: string(typ.Class), Source: typ.Source, Invented: typ.Invented,
		Cells: typ.Cells, Watts: typ.Power.FullW, Emitters: []emitterJSON{}, Reach: [][2]float64{}, Modes: []modeJSON{},
	}
	for _, e := range typ.Emitters {
		xy := e.Spectrum.XYZ().XY()
		entry.Emitters = append(entry.Emitters, emitterJSON{e.Name, [2]float64{xy.X, xy.Y}, e.Lumens})
	}
	cell, err := typ.CellOf(typ.Modes[0])
	if err != nil {
		return entry, err
	}
	if cell != nil {
		for _, corner := range cell.Gamut() {
			entry.Reach = append(entry.Reach, [2]float64{corner.U, corner.V})
		}
	}
	for _, m := range typ.Modes {
		mode := modeJSON{Name: m.Name, Cells: m.Cells, Footprint: m.Footprint, Channels: []channelNameJSON{}}
		for _, ch := range m.Channels {
			mode.Channels = append(mode.Channels, channelNameJSON{ch.Offset, ch.Name, ch.Bits})
		}
		entry.Modes = append(entry.Modes, mode)
	}
	return entry, nil
}

// printTypes prints a paragraph a type.
func printTypes(w io.Writer, list []lampTypeJSON) error {
	for i, l := range list {
		if i > 0 {
			fmt.Fprintln(w)
		}
		note := ""
		if l.Invented {
			note = "; a generic lamp, its numbers are invented"
		}
		fmt.Fprintf(w, "%s: %s, %.0f W (%s%s)\n", l.Name, l.Title, l.Watts, l.Source, note)
		table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
		for _, e := range l.Emitters {
			fmt.Fprintf(table, "  %s\txy %.4f %.4f\t%.0f lm\n", e.Name, e.XY[0], e.XY[1], e.Lumens)
		}
		for _, m := range l.Modes {
			fmt.Fprintf(table, "  mode %s\t%s\t%s\n", m.Name, plural(m.Cells, "cell"), plural(m.Footprint, "slot"))
		}
		if err := table.Flush(); err != nil {
			return err
		}
	}
	return nil
}
