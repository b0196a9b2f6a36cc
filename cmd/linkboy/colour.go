package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/colour/camera"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

// colourFlags are the flags of `linkboy colour`.
type colourFlags struct {
	show                       string
	lamp, mode, level, balance string
	policy, sensor, observer   string
	compare                    []string
	plot                       string
	json                       bool
}

func newColour() *cobra.Command {
	var f colourFlags
	cmd := &cobra.Command{
		Use:   "colour COLOUR --lamp TYPE",
		Short: "Solve a colour for a lamp or a type of lamp: channel values and what they will show",
		Long: `Finds a mix of a lamp's emitters at a colour (the brightest, the truest to a
reference white, or the one that a camera sees as the reference) and prints the
channel values, the colour that they will show as computed back from those values, how
far that is from what was asked, the quality of the light, and what a camera
makes of it.

Colours are written as in a show file:
  '3200 K'  '{cct: 5600 K, tint: 0.003}'  '{hue: 186, sat: 100%}'  '{xy: [0.31, 0.33]}'
  '{uv: [0.2, 0.47]}'  '{shift: +131 mired, from: 5600 K}'  '{nm: 495, purity: 80%}'
  '{css: "oklch(0.7 0.2 40)"}'

With --show a lamp of that show's kit can stand for the type: it is solved as its
readings show it to be, and the readings are set against the fit. The camera is
then the show's, with its balance, unless a flag says otherwise.

--compare puts lamps side by side and says how far they are from matching, to the
eye and to the camera, and which colour all of them reach. --plot draws spectrum
and reach.`,
		Example: `  linkboy colour '{hue: 186, sat: 100%}' --lamp tube-rgbww-4ft
  linkboy colour '3200 K' --lamp panel-rgbww --level '-2 stops' --json
  linkboy colour '3200 K' --lamp panel-rgbacl --policy truest --level 50%
  linkboy colour '3200 K' --compare tube-rgb-2ft,panel-rgbacl --policy camera
  linkboy colour '{hue: 32, sat: 92%}' --lamp panel-rgbacl --plot amber.svg
  linkboy colour '3200 K' --lamp T1 --show my-show`,
		Args: exactly("COLOUR"),
		RunE: func(cmd *cobra.Command, args []string) error { return runColour(cmd, args[0], f) },
	}
	cmd.Flags().StringVar(&f.lamp, "lamp", "", "lamp type, for example tube-rgbww-4ft, or a lamp of the kit with --show")
	cmd.Flags().StringVar(&f.mode, "mode", "", "mode of the lamp (default: the kit lamp's, or the type's first)")
	cmd.Flags().StringVar(&f.show, "show", "", "folder of a show, for its lamp types and its kit")
	cmd.Flags().StringVar(&f.level, "level", "100%", "level: 40% or '-2 stops'")
	cmd.Flags().StringVar(&f.balance, "balance", "4300 K", "camera balance, the white of hue and saturation (default with --show: the show's)")
	cmd.Flags().StringVar(&f.policy, "policy", string(recipe.Brightest), "which of many mixes: "+strings.Join(recipe.Policies(), ", "))
	cmd.Flags().StringVar(&f.observer, "observer", spectra.CIE1931.String(), "whose eye tells what was reached: '2 deg' (CIE 1931) or '10 deg' (CIE 1964)")
	cmd.Flags().StringVar(&f.sensor, "sensor", camera.DefaultSensor, "camera sensitivities: "+strings.Join(sensorNames(), ", ")+" (default with --show: the show's)")
	cmd.Flags().StringSliceVar(&f.compare, "compare", nil, "two or more lamps or lamp types to put side by side")
	cmd.Flags().StringVar(&f.plot, "plot", "", "draw spectrum and reach into this .svg or .png file")
	cmd.Flags().BoolVar(&f.json, "json", false, "print one JSON document")
	complete := func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return stockNames(f.show), cobra.ShellCompDirectiveNoFileComp
	}
	_ = cmd.RegisterFlagCompletionFunc("lamp", complete)
	_ = cmd.RegisterFlagCompletionFunc("compare", complete)
	return cmd
}

func sensorNames() []string {
	var names []string
	for _, s := range camera.Sensors() {
		names = append(names, s.Name)
	}
	return names
}

// runColour answers for one lamp type, or compares several.
func runColour(cmd *cobra.Command, text string, f colourFlags) error {
	lamps, err := stockOf(cmd, f.show)
	if err != nil {
		return err
	}
	asked, err := readAsked(text, f, lamps.viewpoint(cmd, f))
	if err != nil {
		return err
	}
	if len(f.compare) > 0 {
		return runCompare(cmd, lamps, asked, f)
	}
	unit, err := lamps.unit(f.lamp, f.mode)
	if err != nil {
		return err
	}
	solved, err := solve(unit, asked)
	if err != nil {
		return err
	}
	if f.plot != "" {
		if err := plotColour(f.plot, []*solvedColour{solved}, asked); err != nil {
			return err
		}
	}
	if f.json {
		return writeJSON(cmd.OutOrStdout(), solved.answer)
	}
	printColour(cmd.OutOrStdout(), solved.answer)
	tellDrawn(cmd, f.plot)
	return nil
}

// tellDrawn says where the drawing went, if there is one.
func tellDrawn(cmd *cobra.Command, path string) {
	if path != "" {
		fmt.Fprintf(cmd.OutOrStdout(), "drawn in %s\n", path)
	}
}
