package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"linkboy/cues/script"
)

// looksAnswer is the colour script, in the shape of the JSON of `linkboy looks`.
type looksAnswer struct {
	Looks []script.Row `json:"looks"`
}

func newLooks() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "looks SHOW [LOCATION]",
		Short: "The colour script: all looks, whose colours they wear, the key, and the cues they are on in",
		Long: `Lists the looks of every location, or of one, in the order in which the cue sheet
brings them: the characters whose colours are seen, the level and the temperature
of the key, the cues, and what each group wears.`,
		Example: "  linkboy looks my-show\n  linkboy looks my-show first-place --json",
		Args:    exactly("SHOW", "[LOCATION]"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			var names []string
			for _, loc := range show.Locations {
				names = append(names, loc.Name)
			}
			if len(args) > 1 {
				names = args[1:]
			}
			answer := looksAnswer{[]script.Row{}}
			for _, name := range names {
				place, err := placeOf(cmd, show, name)
				if err != nil {
					return err
				}
				if place, err = litIfKept(place); err != nil {
					return err
				}
				answer.Looks = append(answer.Looks, script.Of(place)...)
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), answer)
			}
			return printLooks(cmd.OutOrStdout(), answer.Looks)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// printLooks prints a table a location.
func printLooks(w io.Writer, rows []script.Row) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	location := ""
	for _, r := range rows {
		if r.Location != location {
			if location != "" {
				fmt.Fprintln(table)
			}
			location = r.Location
			fmt.Fprintf(table, "%s\nlook\tcharacters\tkey\tcues\tgroup\tcolours\n", location)
		}
		head := strings.Join([]string{r.Look, orDash(strings.Join(r.Characters, ", ")), keyText(r.Key), orDash(cueList(r.Cues))}, "\t")
		for i, g := range r.Groups {
			if i > 0 {
				head = "\t\t\t"
			}
			fmt.Fprintf(table, "%s\t%s\t%s\n", head, g.Name, groupText(g))
		}
		if len(r.Groups) == 0 {
			fmt.Fprintf(table, "%s\t-\tdark\n", head)
		}
	}
	return table.Flush()
}

func groupText(g script.Group) string {
	var names []string
	for _, c := range g.Colours {
		names = append(names, c.Name)
	}
	text := strings.Join(names, ", ")
	if len(names) > 1 {
		text = g.Pattern + " " + text
	}
	return text + " at " + g.Level
}

func keyText(k *script.Key) string {
	switch {
	case k == nil:
		return "-"
	case k.CCT == nil:
		return k.Level
	}
	return fmt.Sprintf("%s %.0f K", k.Level, *k.CCT)
}

func cueList(numbers []int) string {
	var all []string
	for _, n := range numbers {
		all = append(all, strconv.Itoa(n))
	}
	return strings.Join(all, ", ")
}
