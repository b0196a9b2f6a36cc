package main

import (
	"errors"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/cues"
	"linkboy/cues/carry"
	"linkboy/cues/showfile/edit"
)

// placeFlags say what a new location is begun from.
type placeFlags struct {
	name, from, title, addresses string
	looks, cues                  bool
}

func (f *placeFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.name, "location", "", "a new location of the show instead of a new show")
	cmd.Flags().StringVar(&f.from, "from", "", "the location that it is begun from: its rig, groups, marks, outputs and tempo")
	cmd.Flags().StringVar(&f.title, "title", "", "its title")
	cmd.Flags().StringVar(&f.addresses, "addresses", "keep", "keep, or the first of new ones in rig order, like 0:0:6.001")
	cmd.Flags().BoolVar(&f.looks, "looks", false, "take the looks of --from along")
	cmd.Flags().BoolVar(&f.cues, "cues", false, "take the cue sheet of --from along, with the looks that it needs")
}

// check refuses flags that say nothing together.
func (f *placeFlags) check(cmd *cobra.Command) error {
	if f.name == "" {
		for _, name := range []string{"from", "title", "addresses", "looks", "cues"} {
			if cmd.Flags().Changed(name) {
				return usageError{mendedError{fmt.Errorf("--%s is for a new location", name), "add --location NAME"}}
			}
		}
	}
	return nil
}

// edit is the edit that makes the location.
func (f *placeFlags) edit() edit.Edit {
	fields := map[string]string{}
	say := func(key, value string) {
		if value != "" {
			fields[key] = value
		}
	}
	say("from", f.from)
	say("title", f.title)
	if f.addresses != "keep" {
		say("addresses", f.addresses)
	}
	for key, on := range map[string]bool{"looks": f.looks, "cues": f.cues} {
		if on {
			fields[key] = "yes"
		}
	}
	return edit.Edit{Do: edit.Add, What: edit.TheLocation, Name: f.name, Fields: fields}
}

// newLocation writes the file of a new location and says what is next.
func newLocation(cmd *cobra.Command, dir string, f placeFlags) error {
	e, err := openShow(cmd, dir)
	if err != nil {
		return err
	}
	if f.from != "" && e.Show().Location(f.from) == nil {
		_, err := carryReport(e.Show(), "", f.from, f.from)
		return err
	}
	r, err := e.Apply(e.Revision(), f.edit())
	if err != nil {
		if problems, ok := errors.AsType[cues.Problems](err); ok && problems[0].File == "" {
			return usageError{mendedError{errors.New(problems[0].What + ": " + problems[0].Why), problems[0].Mend}}
		}
		return editFailed(cmd, dir, err)
	}
	out := cmd.OutOrStdout()
	file := path.Join("locations", f.name+".yaml")
	fmt.Fprintf(out, "wrote %s\n", filepath.Join(dir, filepath.FromSlash(file)))
	if f.from == "" {
		fmt.Fprintf(out, "next: put lamps into its rig and into groups, then linkboy check %s\n", dir)
		return nil
	}
	printWorks(out, r.Show, r.Show.Location(f.from), r.Show.Location(f.name))
	fmt.Fprintf(out, "next: say in %s where the lamps stand here, then linkboy check %s\n", filepath.Join(dir, filepath.FromSlash(file)), dir)
	return nil
}

// printWorks says which looks work at a new location.
func printWorks(w io.Writer, show *cues.Show, from, to *cues.Location) {
	fmt.Fprintf(w, "looks at %s:\n", to.Name)
	var whole, other []string
	for _, name := range show.LookNames(to) {
		_, r := carry.Look(show, show.Look(to, name), to, to)
		works := "works in part"
		if len(r.Missing) == 0 && len(r.Unmeasured) == 0 {
			if len(r.Unlit) == 0 {
				whole = append(whole, name)
				continue
			}
			works = "works"
		}
		fmt.Fprintf(w, "  %s %s\n", name, works)
		for _, line := range reportLines(&r) {
			fmt.Fprintf(w, "    %s\n", line)
		}
	}
	if len(whole) > 0 {
		fmt.Fprintf(w, "  work as they are: %s\n", strings.Join(whole, ", "))
	}
	for _, k := range from.Looks {
		if show.Look(to, k.Name) == nil {
			other = append(other, k.Name)
		}
	}
	if len(other) > 0 {
		fmt.Fprintf(w, "  of %s alone: %s (linkboy carry takes them here)\n", from.Name, strings.Join(other, ", "))
	}
}
