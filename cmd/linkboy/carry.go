package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/carry"
	"linkboy/cues/showfile/edit"
)

// carryAnswer is what `linkboy carry` found, in the shape of its JSON.
type carryAnswer struct {
	carry.Report
	Written bool `json:"written"`
}

func newCarry() *cobra.Command {
	var write, asJSON bool
	cmd := &cobra.Command{
		Use:   "carry SHOW LOOK OLD NEW",
		Short: "What becomes of a look of one location at another, and the look written there",
		Long: `Says what becomes of the look of location OLD at location NEW: the groups that it
paints and NEW has not, the lamps that it does not light there, the levels that
cannot be measured. --write writes the look into the file of NEW, with the paint
of the looks of OLD that it starts from; paint on groups that are not there is
left out. Undo is in the page, or take the look out of the file again.`,
		Example: "  linkboy carry my-show mist deep-end pump-room\n  linkboy carry my-show mist deep-end pump-room --write",
		Args:    exactly("SHOW", "LOOK", "OLD", "NEW"),
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := openShow(cmd, args[0])
			if err != nil {
				return err
			}
			report, err := carryReport(e.Show(), args[1], args[2], args[3])
			if err != nil {
				return err
			}
			answer := carryAnswer{Report: report}
			if write && !report.There {
				_, err := e.Apply(e.Revision(), edit.Edit{Do: edit.Carry, What: edit.Look, Location: args[2], Name: args[1], To: args[3]})
				if err != nil {
					return editFailed(cmd, args[0], err)
				}
				answer.Written = true
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), answer)
			}
			printCarry(cmd.OutOrStdout(), answer)
			return nil
		},
	}
	cmd.Flags().BoolVar(&write, "write", false, "write the look into the file of NEW")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

// editFailed tells why an edit was refused.
func editFailed(cmd *cobra.Command, dir string, err error) error {
	if problems, ok := errors.AsType[cues.Problems](err); ok {
		for _, p := range problems {
			if p.Line > 0 {
				p.What += " (as the file would be)"
			}
		}
		printProblems(cmd.ErrOrStderr(), dir, problems)
		return mendedError{errors.New("nothing was written"), "mend what is named above, and ask again"}
	}
	return err
}

// carryReport says what becomes of a look by its name and those of the locations.
func carryReport(show *cues.Show, look, old, next string) (carry.Report, error) {
	var known []string
	for _, l := range show.Locations {
		known = append(known, l.Name)
	}
	from, to := show.Location(old), show.Location(next)
	for name, loc := range map[string]*cues.Location{old: from, next: to} {
		if loc == nil {
			return carry.Report{}, noSuch("location", name, known)
		}
	}
	k := show.Look(from, look)
	if k == nil {
		return carry.Report{}, noSuch("look", look, show.LookNames(from))
	}
	_, report := carry.Look(show, k, from, to)
	return report, nil
}

func printCarry(w io.Writer, a carryAnswer) {
	switch {
	case a.There:
		fmt.Fprintf(w, "%s means the same at %s: it is a look of the show\n", a.Look, a.To)
	case a.Written:
		fmt.Fprintf(w, "wrote %s into locations/%s.yaml\n", a.Look, a.To)
	default:
		fmt.Fprintf(w, "%s of %s at %s\n", a.Look, a.From, a.To)
	}
	if a.Replaces {
		fmt.Fprintf(w, "  it stands before the look %q that is there\n", a.Look)
	}
	if len(a.Merged) > 0 {
		fmt.Fprintf(w, "  with the paint of %s, from which it starts\n", strings.Join(a.Merged, ", "))
	}
	for _, line := range reportLines(&a.Report) {
		fmt.Fprintf(w, "  %s\n", line)
	}
	if !a.Written && !a.There {
		fmt.Fprintln(w, "next: the same with --write writes it there")
	}
}

// reportLines says in words what a look has not at a location.
func reportLines(r *carry.Report) []string {
	var out []string
	for _, m := range r.Missing {
		line := fmt.Sprintf("group %s is not there: its paint is left out", m.Group)
		if len(m.Lamps) > 0 {
			line += fmt.Sprintf(" (%s has %s in it)", r.From, shortList(m.Lamps))
		}
		out = append(out, line)
	}
	for _, u := range r.Unmeasured {
		out = append(out, fmt.Sprintf("%s at %q cannot be measured: there is no %s", u.Group, u.Level, u.Lacks))
	}
	if len(r.Unlit) > 0 {
		out = append(out, fmt.Sprintf("not lit by it: %s", shortList(r.Unlit)))
	}
	return out
}

// shortList writes some names, and how many more there are.
func shortList(names []string) string {
	const most = 6
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most-1], ", "), len(names)-most+1)
}
