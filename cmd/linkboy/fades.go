package main

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/compile"
)

// fadeJSON is how smooth the fade of one cue is, in the shape of the JSON of
// `linkboy fades`.
type fadeJSON struct {
	Cue   int            `json:"cue"`
	From  string         `json:"from"`
	To    string         `json:"to"`
	Path  string         `json:"path"`
	Lamps []fadeLampJSON `json:"lamps"`
}

// fadeLampJSON is a fade on one lamp: on its worst cell where they differ.
type fadeLampJSON struct {
	ID           string  `json:"id"`
	Type         string  `json:"type"`
	Mode         string  `json:"mode"`
	Bits         int     `json:"bits"`
	TimeS        float64 `json:"time_s"`
	LargestStops float64 `json:"largest_step_stops"`
	HeldFrames   float64 `json:"held_frames"`
	ShortestS    float64 `json:"shortest_s"`
	// LongestS is absent where no step of the fade is seen however slow it is.
	LongestS *float64 `json:"longest_s,omitempty"`
	Verdict  string   `json:"verdict"`
}

func newFades() *cobra.Command {
	var setup string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "fades SHOW LOCATION",
		Short: "How smooth every fade of a cue sheet is on camera, lamp by lamp",
		Long: `Plays each fade of a location's cue sheet into channel bytes and reads them back
as the lamps do: the largest single step, in stops, that a lamp takes at its bit
depth, and the shortest and the longest time in which the fade looks smooth at
the show's frame rate. Shorter, frames differ so much that it jumps; longer,
codes are held so long that it shows as a stair.`,
		Example: "  linkboy fades my-show first-place\n  linkboy fades my-show first-place --json",
		Args:    exactly("SHOW", "LOCATION"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			place, err := placeOf(cmd, show, args[1])
			if err != nil {
				return err
			}
			var looks []*cues.Look
			for _, c := range place.Location.Cues {
				looks = append(looks, show.Look(place.Location, c.Look))
			}
			if place, err = lit(cmd, place, looks...); err != nil {
				return err
			}
			if setup != "" || len(place.Location.Setups) > 0 {
				u, err := setupOf(place.Location, setup)
				if err != nil {
					return err
				}
				place = place.WithSetup(u)
			}
			fades := []fadeJSON{}
			for _, f := range place.CueFades() {
				fades = append(fades, fadeOf(f, place.Clock().Capture))
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), map[string]any{"location": place.Location.Name, "fades": fades})
			}
			return printFades(cmd.OutOrStdout(), place.Location.Name, fades)
		},
	}
	cmd.Flags().StringVar(&setup, "setup", "", "set-up whose camera and trims count (default: the location's first)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

func fadeOf(f compile.CueFade, fps float64) fadeJSON {
	out := fadeJSON{Cue: f.Cue.Number, From: f.From, To: f.Cue.Look, Path: string(f.Timing.Path), Lamps: []fadeLampJSON{}}
	if out.Path == "" {
		out.Path = "short"
	}
	for i := range f.Steps {
		s := &f.Steps[i]
		line := fadeLampJSON{
			ID: s.Lamp.ID, Type: s.Lamp.Lamp.Type.Name, Mode: s.Lamp.Lamp.Mode.Name, Bits: s.Bits, TimeS: s.Time.Seconds(),
			LargestStops: s.Largest, HeldFrames: s.Held, ShortestS: s.Shortest.Seconds(), Verdict: string(s.Verdict(fps)),
		}
		if s.Held > 0 {
			longest := s.Longest.Seconds()
			line.LongestS = &longest
		}
		out.Lamps = append(out.Lamps, line)
	}
	return out
}

// printFades prints a table a cue; lamps that do the same share a line.
func printFades(w io.Writer, location string, fades []fadeJSON) error {
	if len(fades) == 0 {
		fmt.Fprintf(w, "%s has no fades in its cue sheet\n", location)
		return nil
	}
	for _, f := range fades {
		fmt.Fprintf(w, "cue %d at %s, %s to %s, path %s\n", f.Cue, location, f.From, f.To, f.Path)
		if len(f.Lamps) == 0 {
			fmt.Fprintln(w, "  moves nothing")
			continue
		}
		table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
		fmt.Fprintln(table, "  lamps\ttype\tmode\tbits\ttime\tlargest step\tsmooth from\tto\t")
		for first, n := 0, 0; first < len(f.Lamps); first += n {
			n = alike(f.Lamps[first:])
			l := f.Lamps[first]
			fmt.Fprintf(table, "  %s\t%s\t%s\t%d\t%s\t%.2g stop\t%s\t%s\t%s\n", span(f.Lamps[first:first+n]), l.Type, l.Mode, l.Bits,
				seconds(l.TimeS), l.LargestStops, seconds(l.ShortestS), upTo(l.LongestS), l.Verdict)
		}
		if err := table.Flush(); err != nil {
			return err
		}
	}
	return nil
}

// alike is how many lamps from the first one on differ by their name alone.
func alike(lamps []fadeLampJSON) int {
	for i, l := range lamps {
		l.ID = lamps[0].ID
		same := (l.LongestS == nil) == (lamps[0].LongestS == nil) &&
			(l.LongestS == nil || math.Abs(*l.LongestS-*lamps[0].LongestS) < 0.005)
		l.LongestS = lamps[0].LongestS
		if !same || l != lamps[0] {
			return i
		}
	}
	return len(lamps)
}

func span(lamps []fadeLampJSON) string {
	if len(lamps) == 1 {
		return lamps[0].ID
	}
	return fmt.Sprintf("%s to %s (%d)", lamps[0].ID, lamps[len(lamps)-1].ID, len(lamps))
}

func upTo(s *float64) string {
	if s == nil {
		return "any time"
	}
	return seconds(*s)
}

func seconds(s float64) string {
	return fmt.Sprintf("%.4g s", time.Duration(s*float64(time.Second)).Round(10*time.Millisecond).Seconds())
}
