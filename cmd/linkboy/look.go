package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
)

// lookAnswer is what `linkboy look` found, in the shape of its JSON.
type lookAnswer struct {
	Location string         `json:"location"`
	Setup    string         `json:"setup,omitempty"`
	Look     string         `json:"look"`
	Sensor   string         `json:"sensor"`
	Lamps    []lookLampJSON `json:"lamps"`
	Misses   []missJSON     `json:"misses"`
	// Costs are colours that come out another to the eye, as the camera goes
	// first; Matches what groups give up to match.
	Costs   []missJSON  `json:"costs"`
	Matches []matchJSON `json:"matches"`
	// Levels are those that the look asks for at marks.
	Levels []meter.LevelReport `json:"levels"`
}

// lookLampJSON is the brightest cell of a lamp in the look.
type lookLampJSON struct {
	ID   string `json:"id"`
	Type string `json:"type"`
	Cell int    `json:"cell"` // 1-based
	pointJSON
	CCT    *float64    `json:"cct,omitempty"`
	Duv    *float64    `json:"duv,omitempty"`
	Lumens float64     `json:"lumens"` // of the whole lamp
	Camera camera.Line `json:"camera"`
	// ClipsOverKey is by how many stops this light may meter over the key
	// before a white shirt clips.
	ClipsOverKey float64 `json:"clips_over_key_stops"`
}

// missJSON is a colour that a lamp cannot or does not show.
type missJSON struct {
	ID      string     `json:"id"`
	Asked   pointJSON  `json:"asked"`
	Reached pointJSON  `json:"reached"`
	DeltaUV float64    `json:"delta_uv"`
	Delta   *deltaJSON `json:"delta,omitempty"`
}

func newLook() *cobra.Command {
	var setup string
	var asJSON bool
	var other string
	cmd := &cobra.Command{
		Use:   "look SHOW LOCATION LOOK",
		Short: "What every lamp shows in a look: its light, the camera's view of it, and what it cannot reach",
		Long: `Solves a look for every lamp of a location and reads it back from the channel
bytes: the brightest cell of each lamp, the camera channels relative to what a
light meter says, by how many stops that light may meter over the key before a
white shirt clips, and the colours that lamps cannot show.

With --against it is told how the look differs from another one: by groups in
stops and in delta u'v' (CIE 1976), in words, and by lamps, the worst first.`,
		Example: "  linkboy look my-show first-place ada\n  linkboy look my-show first-place ada --json\n  linkboy look my-show first-place ada --against ben",
		Args:    exactly("SHOW", "LOCATION", "LOOK"),
		RunE: func(cmd *cobra.Command, args []string) error {
			show, err := loadShow(cmd, args[0])
			if err != nil {
				return err
			}
			if other != "" {
				return runAgainst(cmd, show, againstArgs{args[1], args[2], other, setup, asJSON})
			}
			answer, err := readLook(cmd, show, args[1], args[2], setup)
			if err != nil {
				return err
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), answer)
			}
			return printLook(cmd, answer)
		},
	}
	cmd.Flags().StringVar(&setup, "setup", "", "set-up that trims it (default: the location's first)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	cmd.Flags().StringVar(&other, "against", "", "another look of the location, to tell what differs")
	return cmd
}

// readLook compiles the look as a set-up has it, and reads its bytes back.
func readLook(cmd *cobra.Command, show *cues.Show, location, look, setup string) (*lookAnswer, error) {
	place, err := placeOf(cmd, show, location)
	if err != nil {
		return nil, err
	}
	loc := place.Location
	found := show.Look(loc, look)
	if found == nil {
		return nil, noSuch("look", look, show.LookNames(loc))
	}
	if place, err = lit(cmd, place, found); err != nil {
		return nil, err
	}
	shot := show.Camera
	var name string
	if setup != "" || len(loc.Setups) > 0 {
		u, err := setupOf(loc, setup)
		if err != nil {
			return nil, err
		}
		place, shot, name = place.WithSetup(u), show.Shot(u), u.Name
	}
	still, report, problems := place.Still(found)
	if problems.HasErrors() {
		printProblems(cmd.ErrOrStderr(), show.Dir, problems)
		return nil, errBadShow
	}
	view, err := shot.View()
	if err != nil {
		return nil, err
	}
	answer := &lookAnswer{
		Location: loc.Name, Setup: name, Look: found.Name, Sensor: view.Name(), Lamps: []lookLampJSON{},
		Misses: []missJSON{}, Costs: []missJSON{}, Matches: matchesOf(report), Levels: meter.LevelsOf(report.Levels),
	}
	frame := place.Frame(still, true)
	for _, l := range loc.Rig {
		if line, lit := lampLine(place, l, frame, view, shot.Over); lit {
			answer.Lamps = append(answer.Lamps, line)
		}
	}
	missing := func(l *cues.RigLamp, asked, reached colour.XY, deltaUV float64) missJSON {
		return missJSON{
			ID: l.ID, Asked: pointOf(asked), Reached: pointOf(reached), DeltaUV: deltaUV,
			Delta: differenceOf(askedColour{xy: asked, balance: place.Balance}, reached),
		}
	}
	for _, m := range report.Misses {
		answer.Misses = append(answer.Misses, missing(m.Lamp, m.Asked, m.Reached, m.DeltaUV))
	}
	for _, c := range report.Costs {
		answer.Costs = append(answer.Costs, missing(c.Lamp, c.Asked, c.Reached, c.DeltaUV))
	}
	return answer, nil
}

// placeOf prepares a location by its name.
func placeOf(cmd *cobra.Command, show *cues.Show, location string) (*compile.Place, error) {
	loc := show.Location(location)
	if loc == nil {
		var known []string
		for _, l := range show.Locations {
			known = append(known, l.Name)
		}
		return nil, noSuch("location", location, known)
	}
	place, problems := compile.Location(show, loc)
	if place == nil {
		printProblems(cmd.ErrOrStderr(), show.Dir, problems)
		return nil, errBadShow
	}
	return place, nil
}

// noSuch refuses a name with the nearest that there is.
func noSuch(kind, name string, known []string) error {
	mend := "there are: " + strings.Join(known, ", ")
	if near := cues.Nearest(name, known); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return usageError{mendedError{fmt.Errorf("no %s %q", kind, name), mend}}
}

// lampLine reads one lamp back from the frame; lit is false when it is dark.
func lampLine(place *compile.Place, l *cues.RigLamp, frame [][]byte, view camera.View, over float64) (line lookLampJSON, lit bool) {
	typ, mode := l.Lamp.Type, l.Lamp.Mode
	if len(typ.Emitters) == 0 {
		return line, false
	}
	slots := make([]byte, mode.Footprint)
	for i, u := range place.Layout.Universes {
		if start := l.Address.Slot - 1; u.Address == l.Address.Port && start < len(frame[i]) {
			copy(slots, frame[i][start:])
		}
	}
	drives := make([]emitters.Drives, mode.Cells)
	mode.Decode(typ, slots, drives)
	first, _ := place.CellsOf(l)
	mix := place.Cells[first].Mix()
	best, total := 0, 0.0
	for i, d := range drives {
		total += mix.Light(d).Y
		if mix.Light(d).Y > mix.Light(drives[best]).Y {
			best = i
		}
	}
	if !(total > 0) {
		return line, false
	}
	xy := mix.Light(drives[best]).XY()
	seen := view.Response(typ.Spectrum(mode, drives[best]))
	line = lookLampJSON{ID: l.ID, Type: typ.Name, Cell: best + 1, pointJSON: pointOf(xy), Lumens: total, Camera: view.Line(seen)}
	line.CCT, line.Duv = whiteOf(xy)
	line.ClipsOverKey = clipsOverKey(line.Camera, over)
	return line, true
}

// whiteOf gives CCT and Duv where they mean something.
func whiteOf(xy colour.XY) (cct, duv *float64) {
	white, err := xy.CCT()
	if err != nil {
		return nil, nil
	}
	t, d := float64(white.T), float64(white.Duv)
	return &t, &d
}

func printLook(cmd *cobra.Command, a *lookAnswer) error {
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "%s at %s, camera %s; the brightest cell of each lamp\n", a.Look, a.Location, a.Sensor)
	table := tabwriter.NewWriter(out, 2, 0, 2, ' ', 0)
	fmt.Fprintln(table, "  lamp\ttype\tcell\txy\tK\tDuv\tlm\tcamera R\tG\tB\texcess\twhite clips over key")
	for _, l := range a.Lamps {
		fmt.Fprintf(table, "  %s\t%s\t%d\t%.4f %.4f\t%s\t%s\t%.0f\t%.2f\t%.2f\t%.2f\t%+.1f stop in %s\t%+.1f stop\n", l.ID, l.Type, l.Cell, l.XY[0], l.XY[1],
			optional("%.0f", l.CCT), optional("%+.4f", l.Duv), l.Lumens, l.Camera.RGB[0], l.Camera.RGB[1], l.Camera.RGB[2],
			l.Camera.ExcessStops, l.Camera.Hottest, l.ClipsOverKey)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	for _, m := range a.Misses {
		printMiss(out, m.ID+" cannot show", m)
	}
	for _, m := range a.Costs {
		printMiss(out, m.ID+" follows the camera: to the eye", m)
	}
	printMatches(out, a.Matches)
	printLevels(out, a.Levels)
	return nil
}

func printMiss(w io.Writer, what string, m missJSON) {
	fmt.Fprintf(w, "  %s xy %.4f %.4f: off by %.4f u'v'", what, m.Asked.XY[0], m.Asked.XY[1], m.DeltaUV)
	if m.Delta != nil {
		fmt.Fprintf(w, ", CIEDE2000 %.1f, CAM16-UCS %.1f", m.Delta.DE2000, m.Delta.CAM16)
	}
	fmt.Fprintln(w)
}
