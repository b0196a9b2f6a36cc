package main

import (
	"github.com/spf13/cobra"

	"linkboy/cues/meter"
)

func newMeter() *cobra.Command {
	var setup string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "meter SHOW LOCATION LOOK",
		Short: "What a meter reads of a look: lux and stops at marks, ratio, what clips in shot, the floor",
		Long: `Computes how light gets about in a location and reads a look in it: at each mark
where a face would be, lux, stop, ratio and each group under the key; which lamps
in shot clip and the level at which they would keep their colour; the darkest
floor where people walk; what the shutter makes of mains light and of a flip.

It is computed from the show's numbers and cannot see a moved lamp, pale
clothes or a wet floor. Before people move in the dark, read the floor with a
meter; local codes come first.`,
		Example: "  linkboy meter my-show first-place ada\n  linkboy meter my-show first-place ada --setup wide --json",
		Args:    exactly("SHOW", "LOCATION", "LOOK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			scene, err := sceneOf(cmd, show, args[1], args[2], setup)
			if err != nil {
				return err
			}
			m, err := meter.New(scene.set, scene.lit, scene.setup)
			if err != nil {
				return err
			}
			m.Set(scene.slots)
			answer := m.Report(meter.Shown{Look: scene.look, Levels: scene.levels, Fades: scene.place.CueFades()})
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), answer)
			}
			return printMeter(cmd.OutOrStdout(), answer)
		},
	}
	cmd.Flags().StringVar(&setup, "setup", "", "set-up whose camera looks (default: the location's first)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}
