package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

// demoLocation is where the demo starts when it has not run before.
const demoLocation = "deep-end"

func newDemo() *cobra.Command {
	var f daemonFlags
	var dir string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Run the built-in show on a software rig: no lamps needed",
		Long: `Runs Tidewater, an invented dance film in a drained open-air bath, on a software
node on this machine. Open the page it prints, tap the large pad, and the set
flips from the Warden's look to the Tide's. Every number of its lamps is invented.`,
		Example: "  linkboy demo\n  linkboy demo --show tidewater      keep the show on disk, to change it",
		Args:    exactly(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			kept, cleanup, err := demoDir(dir)
			if err != nil {
				return err
			}
			defer cleanup()
			show, err := openShow(cmd, kept)
			if err != nil {
				return err
			}
			if _, err := os.Stat(filepath.Join(kept, stateFile)); err != nil && f.location == "" {
				f.location = demoLocation
			}
			f.passing = dir == ""
			return runDaemon(cmd, show, f, true)
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&dir, "show", "", "keep the show in this folder (made when it is missing)")
	return cmd
}

// demoDir gives the folder to run the demo show from: dir, written when it is
// missing, or a temporary one that cleanup removes.
func demoDir(dir string) (string, func(), error) {
	if dir != "" {
		if _, err := os.Stat(filepath.Join(dir, "show.yaml")); err == nil {
			return dir, func() {}, nil
		}
		return dir, func() {}, writeShow("tidewater", dir)
	}
	temp, err := os.MkdirTemp("", "linkboy-demo-")
	if err != nil {
		return "", nil, fmt.Errorf("demo: no room for the show: %w", err)
	}
	cleanup := func() { _ = os.RemoveAll(temp) }
	kept := filepath.Join(temp, "tidewater")
	if err := writeShow("tidewater", kept); err != nil {
		cleanup()
		return "", nil, err
	}
	return kept, cleanup, nil
}
