package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

func newCheck() *cobra.Command {
	var asJSON, withLight bool
	cmd := &cobra.Command{
		Use:   "check SHOW",
		Short: "List every error and warning of a show, with place, why and mend",
		Long: `Reads every file of the show, looks for what stands inside something else, resolves every
look on every location's lamps, plays every fade of its cue sheets, and lists all that is
wrong at once: errors stop the show from running, warnings do not. Levels at marks are
solved where the light of their place has been computed before. Exit code 0 when there are no errors, 3 when there are.`,
		Example: "  linkboy check my-show\n  linkboy check my-show --json",
		Args:    exactly("SHOW"),
		RunE: func(cmd *cobra.Command, args []string) error {
			inLight := litIfKept
			if withLight {
				inLight = func(p *compile.Place) (*compile.Place, error) { return lit(cmd, p, p.Looks()...) }
			}
			problems, err := checkShow(args[0], inLight)
			if err != nil {
				return err
			}
			if asJSON {
				if err := printProblemsJSON(cmd.OutOrStdout(), problems); err != nil {
					return err
				}
			} else {
				printProblems(cmd.OutOrStdout(), args[0], problems)
				fmt.Fprintf(cmd.OutOrStdout(), "%s: %s\n", args[0], countProblems(problems))
			}
			if problems.HasErrors() {
				return errBadShow
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	cmd.Flags().BoolVar(&withLight, "light", false, "compute the light that levels at marks need, where it is not kept")
	return cmd
}

// checkShow loads the show, looks for what stands in each other's way and compiles
// every look and cue of every location, in the light that inLight gives it.
func checkShow(dir string, inLight func(*compile.Place) (*compile.Place, error)) (cues.Problems, error) {
	show, problems := showfile.Load(dir)
	if show == nil || problems.HasErrors() {
		return problems, nil
	}
	for _, loc := range show.Locations {
		problems = append(problems, stage.Check(loc)...)
		place, found := compile.Location(show, loc)
		problems = append(problems, found...)
		if place == nil {
			continue
		}
		place, err := inLight(place)
		if err != nil {
			return problems, err
		}
		problems = append(problems, checkLooks(place)...)
	}
	problems.Sort()
	return problems, nil
}

// checkLooks compiles every look and cue of a place, and each look again as those set-ups
// have it that turn it round: what they alone bring about is told too.
func checkLooks(place *compile.Place) cues.Problems {
	var problems cues.Problems
	told := map[string]bool{}
	add := func(place *compile.Place) {
		for _, look := range place.Looks() {
			_, _, found := place.Moving(look)
			for _, p := range found {
				if text := p.Error(); !told[text] {
					told[text] = true
					problems = append(problems, p)
				}
			}
		}
	}
	add(place)
	for _, u := range place.Location.Setups {
		if u.Turns() {
			add(place.WithSetup(u))
		}
	}
	return append(problems, place.CheckCues()...)
}
