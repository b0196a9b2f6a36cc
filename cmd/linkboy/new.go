package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

//go:embed shows/*/*.yaml shows/*/locations/*.yaml shows/*/things/*
var shows embed.FS

func newNew() *cobra.Command {
	var place placeFlags
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a small show to start from, or a new location of a show",
		Long: `Writes a small show with one location, a handful of lamps and comments that say
what each line does. DIR must not exist yet, or be empty.

With --location, DIR is a show, which gets another location: empty, with
comments, or begun from another one. Of that it takes marks, rig, groups, outputs
and tempo as they are written, comments too, and with --looks and --cues those.
It says which looks work there.`,
		Example: "  linkboy new my-show\n  linkboy check my-show\n  linkboy serve my-show\n  linkboy new my-show --location pier --from first-place --addresses 0:0:6.001 --cues",
		Args:    exactly("DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := place.check(cmd); err != nil {
				return err
			}
			if place.name != "" {
				return newLocation(cmd, args[0], place)
			}
			if err := writeShow("starter", args[0]); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "wrote %s\nnext: edit %s, then linkboy check %s\n",
				args[0], filepath.Join(args[0], "kit.yaml"), args[0])
			return nil
		},
	}
	place.add(cmd)
	return cmd
}

// writeShow copies an embedded show into dir, which must be new or empty.
func writeShow(name, dir string) error {
	if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
		return mendedError{fmt.Errorf("%s is not empty", dir), "name a folder that does not exist yet"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return mendedError{err, "name a folder that does not exist yet"}
	}
	src, err := fs.Sub(shows, "shows/"+name)
	if err != nil {
		return err
	}
	return os.CopyFS(dir, src)
}
