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
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check SHOW",
		Short: "List every error and warning of a show, with place, why and mend",
		Long: `Reads every file of the show, looks for what stands inside something else, resolves every
look on every location's lamps, plays every fade of its cue sheets, and lists all that is
wrong at once: errors stop the show from running, warnings do not. Exit code 0 when there are no errors, 3 when there are.`,
		Example: "  linkboy check my-show\n  linkboy check my-show --json",
		Args:    exactly("SHOW"),
		RunE: func(cmd *cobra.Command, args []string) error {
			problems := checkShow(args[0])
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
	return cmd
}

// checkShow loads the show, looks for what stands in each other's way and compiles
// every look and cue of every location.
func checkShow(dir string) cues.Problems {
	show, problems := showfile.Load(dir)
	if show == nil || problems.HasErrors() {
		return problems
	}
	for _, loc := range show.Locations {
		problems = append(problems, stage.Check(loc)...)
		place, found := compile.Location(show, loc)
		problems = append(problems, found...)
		if place == nil {
			continue
		}
		for _, name := range show.LookNames(loc) {
			_, _, found := place.Still(show.Look(loc, name))
			problems = append(problems, found...)
		}
		problems = append(problems, place.CheckCues()...)
	}
	problems.Sort()
	return problems
}
