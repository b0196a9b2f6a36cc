package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// colourAnswer is what `linkboy colour` found, in the shape of its JSON.
type colourAnswer struct {
	Lamp     string        `json:"lamp"`
	Mode     string        `json:"mode"`
	Asked    pointJSON     `json:"asked"`
	Reached  reachedJSON   `json:"reached"`
	DeltaUV  float64       `json:"delta_uv"`
	Level    float64       `json:"level"`
	Lumens   float64       `json:"lumens"`
	Drives   []driveJSON   `json:"drives"`
	Channels []channelJSON `json:"channels"`
}

type pointJSON struct {
	XY [2]float64 `json:"xy"`
	UV [2]float64 `json:"uv"`
}

// reachedJSON has no CCT where the point is too far from the white locus for one to mean anything.
type reachedJSON struct {
	pointJSON
	CCT *float64 `json:"cct,omitempty"`
	Duv *float64 `json:"duv,omitempty"`
}

type driveJSON struct {
	Emitter string  `json:"emitter"`
	Drive   float64 `json:"drive"`
}

type channelJSON struct {
	Offset int    `json:"offset"`
	Name   string `json:"name"`
	Bits   int    `json:"bits"`
	Value  int    `json:"value"`
}

// colourFlags are the flags of `linkboy colour`.
type colourFlags struct {
	lamp, mode, level, balance string
	json                       bool
}

func newColour() *cobra.Command {
	var f colourFlags
	cmd := &cobra.Command{
		Use:   "colour COLOUR --lamp TYPE",
		Short: "Solve a colour for a type of lamp: channel values and what they will show",
		Long: `Finds the brightest mix of a lamp's emitters at a colour and prints the channel
values, the colour that they will show as computed back from those values, and
how far that is from what was asked.

Colours are written as in a show file:
  '3200 K'  '{cct: 5600 K, tint: 0.003}'  '{hue: 186, sat: 100%}'  '{xy: [0.31, 0.33]}'
  '{uv: [0.2, 0.47]}'  '{shift: +131 mired, from: 5600 K}'  '{nm: 495, purity: 80%}'
  '{css: "oklch(0.7 0.2 40)"}'`,
		Example: "  linkboy colour '{hue: 186, sat: 100%}' --lamp tube-rgbww-4ft\n  linkboy colour '3200 K' --lamp panel-rgbww --level '-2 stops' --json",
		Args:    exactly("COLOUR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			answer, err := solveColour(args[0], f)
			if err != nil {
				return err
			}
			if f.json {
				return writeJSON(cmd.OutOrStdout(), answer)
			}
			return printColour(cmd.OutOrStdout(), answer)
		},
	}
	cmd.Flags().StringVar(&f.lamp, "lamp", "", "lamp type, for example tube-rgbww-4ft (required)")
	cmd.Flags().StringVar(&f.mode, "mode", "", "mode of the lamp type (default: its first)")
	cmd.Flags().StringVar(&f.level, "level", "100%", "level: 40% or '-2 stops'")
	cmd.Flags().StringVar(&f.balance, "balance", "4300 K", "camera balance, the white of hue and saturation")
	cmd.Flags().BoolVar(&f.json, "json", false, "print one JSON document")
	_ = cmd.RegisterFlagCompletionFunc("lamp", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return typeNames(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// solveColour solves the colour written as text for cell 1 of the lamp, and
// reads the answer back from the channel bytes, as everything on set is.
func solveColour(text string, f colourFlags) (*colourAnswer, error) {
	typ, mode, err := lampAndMode(f.lamp, f.mode)
	if err != nil {
		return nil, err
	}
	balance, err := chromaticityOf(f.balance, colour.XY{})
	if err != nil {
		return nil, err
	}
	asked, err := chromaticityOf(text, balance)
	if err != nil {
		return nil, err
	}
	level, err := levelOf(f.level)
	if err != nil {
		return nil, err
	}
	cell, err := typ.CellOf(mode)
	if err != nil {
		return nil, err
	}
	if cell == nil {
		return nil, usageError{mendedError{fmt.Errorf("lamp type %q gives no light", typ.Name), "choose a type with emitters: " + strings.Join(typeNames(), ", ")}}
	}
	solved := cell.Solve(asked, level, balance)
	return answerFor(typ, mode, cell, solved, level), nil
}

// answerFor encodes the solution for every cell of the lamp and describes what the bytes will show.
func answerFor(typ *lamp.Type, mode *lamp.Mode, cell *emitters.Cell, solved emitters.Solution, level colour.Level) *colourAnswer {
	drives := make([]emitters.Drives, mode.Cells)
	for i := range drives {
		drives[i] = solved.Drives
	}
	slots := make([]byte, mode.Footprint)
	mode.Encode(typ, drives, nil, slots)
	mode.Decode(typ, slots, drives)
	light := cell.Light(drives[0])

	answer := &colourAnswer{
		Lamp: typ.Name, Mode: mode.Name,
		Asked:   pointOf(solved.Asked),
		DeltaUV: solved.Asked.UV().Distance(light.XY().UV()),
		Level:   float64(level),
		Lumens:  light.Y * float64(mode.Cells),
	}
	if light.Y > 0 {
		answer.Reached.pointJSON = pointOf(light.XY())
		if white, err := light.XY().CCT(); err == nil {
			t, duv := float64(white.T), float64(white.Duv)
			answer.Reached.CCT, answer.Reached.Duv = &t, &duv
		}
	} else {
		answer.DeltaUV = 0
	}
	for i, e := range typ.Emitters {
		answer.Drives = append(answer.Drives, driveJSON{e.Name, solved.Drives[i]})
	}
	for _, ch := range mode.Channels {
		value := int(slots[ch.Offset])
		if ch.Bits == 16 {
			value = value<<8 | int(slots[ch.Offset+1])
		}
		answer.Channels = append(answer.Channels, channelJSON{ch.Offset, ch.Name, ch.Bits, value})
	}
	return answer
}

func pointOf(p colour.XY) pointJSON {
	uv := p.UV()
	return pointJSON{XY: [2]float64{p.X, p.Y}, UV: [2]float64{uv.U, uv.V}}
}

// lampAndMode finds a built-in lamp type and one of its modes.
func lampAndMode(name, modeName string) (*lamp.Type, *lamp.Mode, error) {
	if name == "" {
		return nil, nil, usageError{mendedError{fmt.Errorf("no lamp type"), "add --lamp TYPE, one of: " + strings.Join(typeNames(), ", ")}}
	}
	for _, typ := range showfile.BuiltinTypes() {
		if typ.Name != name {
			continue
		}
		if modeName == "" {
			return typ, typ.Modes[0], nil
		}
		if mode, ok := typ.Mode(modeName); ok {
			return typ, mode, nil
		}
		var known []string
		for _, m := range typ.Modes {
			known = append(known, m.Name)
		}
		return nil, nil, usageError{mendedError{fmt.Errorf("lamp type %q has no mode %q", name, modeName), "its modes are: " + strings.Join(known, ", ")}}
	}
	mend := "the types are: " + strings.Join(typeNames(), ", ")
	if near := cues.Nearest(name, typeNames()); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return nil, nil, usageError{mendedError{fmt.Errorf("no lamp type %q", name), mend}}
}

// typeNames lists the built-in lamp types.
func typeNames() []string {
	var names []string
	for _, typ := range showfile.BuiltinTypes() {
		names = append(names, typ.Name)
	}
	return names
}

// chromaticityOf reads a colour in show-file syntax under a balance white.
func chromaticityOf(text string, balance colour.XY) (colour.XY, error) {
	form, problem := showfile.ParseColour(text)
	if problem != nil {
		return colour.XY{}, wrongWords(problem)
	}
	p, err := form.Chromaticity(balance)
	if err != nil {
		return colour.XY{}, usageError{fmt.Errorf("colour %s: %w", text, err)}
	}
	return p, nil
}

// levelOf reads a level that needs no place: a share or stops from full.
func levelOf(text string) (colour.Level, error) {
	level, problem := showfile.ParseLevel(text)
	if problem != nil {
		return 0, wrongWords(problem)
	}
	share, ok := level.Share()
	if !ok {
		return 0, usageError{mendedError{fmt.Errorf("level %q is measured at a place", text), "write a share like 40% or stops from full like '-2 stops'"}}
	}
	return share, nil
}

// wrongWords turns a problem with a word on the command line into wrong use.
func wrongWords(p *cues.Problem) error {
	err := fmt.Errorf("%s", p.What)
	if p.Why != "" {
		err = fmt.Errorf("%s: %s", p.What, p.Why)
	}
	return usageError{mendedError{err, p.Mend}}
}

// printColour prints the answer for people.
func printColour(w io.Writer, a *colourAnswer) error {
	fmt.Fprintf(w, "%s, mode %s, level %.1f %%\n", a.Lamp, a.Mode, a.Level*100)
	fmt.Fprintf(w, "  asked    xy %.4f %.4f   u'v' %.4f %.4f\n", a.Asked.XY[0], a.Asked.XY[1], a.Asked.UV[0], a.Asked.UV[1])
	fmt.Fprintf(w, "  reached  xy %.4f %.4f   u'v' %.4f %.4f", a.Reached.XY[0], a.Reached.XY[1], a.Reached.UV[0], a.Reached.UV[1])
	if a.Reached.CCT != nil {
		fmt.Fprintf(w, "   %.0f K  Duv %+.4f", *a.Reached.CCT, *a.Reached.Duv)
	}
	fmt.Fprintf(w, "\n  off by   %.4f u'v'\n  light    %.0f lm (from invented numbers where the lamp type is a generic one)\n", a.DeltaUV, a.Lumens)
	fmt.Fprintln(w, "  drives, linear in light:")
	for _, d := range a.Drives {
		fmt.Fprintf(w, "    %-12s %6.2f %%\n", d.Emitter, d.Drive*100)
	}
	fmt.Fprintln(w, "  channels:")
	for _, c := range a.Channels {
		fmt.Fprintf(w, "    %3d  %-24s %2d bit  %5d\n", c.Offset+1, c.Name, c.Bits, c.Value)
	}
	return nil
}
