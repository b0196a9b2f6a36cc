package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"text/tabwriter"

	"linkboy/colour/photometry"
	"linkboy/cues/meter"
)

// printMeter prints one readable page.
func printMeter(w io.Writer, a *meter.Report) error {
	fmt.Fprintf(w, "%s at %s, set-up %s; the camera is exposed for %s\n", a.Look, a.Location, a.Setup, luxWords(a.KeyLux))
	for _, m := range a.Marks {
		if err := printMark(w, m); err != nil {
			return err
		}
	}
	printLevels(w, a.Levels)
	if err := printSeenLamps(w, a.Lamps); err != nil {
		return err
	}
	printFloor(w, a.Floor)
	for _, m := range a.Flicker {
		printMains(w, m)
	}
	printPulses(w, a.Pulses)
	for _, f := range a.Flips {
		fmt.Fprintf(w, "  an instant flip, shutter read in %.0f ms: %.0f %% show split or blended, %.1f ms of a frame are clean\n", f.ReadoutMS, f.Split*100, f.CleanMS)
	}
	printTimes(w, a)
	for _, s := range a.Stepping {
		fmt.Fprintf(w, "  cue %d on %s: %s; see linkboy fades\n", s.Cue, s.Lamp, s.Verdict)
	}
	return nil
}

// printTimes prints how long fades to the look take, and says of slow and fast motion.
func printTimes(w io.Writer, a *meter.Report) {
	if c := a.Camera; c.Speed > 0 && c.Speed != 1 {
		fmt.Fprintf(w, "  %s fps on a timeline of %s plays at %s %% of its speed\n", figures(c.FPS, 4), figures(c.Timeline, 4), figures(c.Speed*100, 3))
	}
	for _, t := range a.Times {
		fmt.Fprintf(w, "  cue %d, %s: %s s on set, %s frames", t.Cue, t.Asked, figures(t.RealS, 3), figures(t.Frames, 3))
		if t.OnScreenS != nil {
			fmt.Fprintf(w, ", %s s on screen", figures(*t.OnScreenS, 3))
		}
		fmt.Fprintln(w)
	}
}

func luxWords(lux float64) string {
	return fmt.Sprintf("%s lx (%s fc)", figures(lux, 3), figures(photometry.Lux(lux).FootCandles(), 3))
}

// figures writes v to n figures, and in full: 1460, not 1.46e+03.
func figures(v float64, n int) string {
	if v == 0 {
		return "0"
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))+1-float64(n))
	return strconv.FormatFloat(math.Round(v/unit)*unit, 'f', max(0, -int(math.Round(math.Log10(unit)))), 64)
}

func printMark(w io.Writer, m meter.MarkReport) error {
	fmt.Fprintf(w, "mark %s, a face 1.6 m over it\n", m.Name)
	fmt.Fprintf(w, "  facing the camera %s, T%.1f, %+.1f stop to the camera's exposure; facing up %s lx\n", luxWords(m.Lux.Total), m.Stop, m.Over, figures(m.Lux.Up, 3))
	if m.Ratio != nil {
		fmt.Fprintf(w, "  key : fill %s : 1, (key + fill) : fill %s : 1\n", figures(m.Ratio.KeyFill, 2), figures(m.Ratio.SumFill, 2))
	}
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, g := range m.Groups {
		under := ""
		switch {
		case g.IsKey:
			under = "is the key"
		case g.Under != nil && *g.Under < 0:
			under = fmt.Sprintf("%.1f stop over the key", -*g.Under)
		case g.Under != nil:
			under = fmt.Sprintf("%.1f stop under the key", *g.Under)
		}
		fmt.Fprintf(table, "  %s\t%s lx\t%s\n", g.Name, figures(g.Lux, 3), under)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	for _, s := range m.Spots {
		if s.Over == [3]*float64{} {
			fmt.Fprintf(w, "  %s (%.0f %%): dark\n", s.Name, s.Reflectance*100)
			continue
		}
		fmt.Fprintf(w, "  %s (%.0f %%): hottest in %s, %.1f stop before it clips\n", s.Name, s.Reflectance*100, s.Hottest, s.Margin)
	}
	if m.Shadow > 0.05 {
		fmt.Fprintf(w, "  the operator at the camera takes %.1f stop: raise a lamp or stand beside its way\n", m.Shadow)
	}
	return nil
}

func printSeenLamps(w io.Writer, lamps []meter.LampReport) error {
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, l := range lamps {
		fate := "keeps its colour"
		if l.Clips {
			fate = fmt.Sprintf("goes white in shot; keeps its colour at %s %% of this level", figures(l.KeepLevel*100, 2))
		}
		fmt.Fprintf(table, "  in shot: %s\t%+.1f stop over grey in %s\t%s\n", l.ID, l.Over, l.Hottest, fate)
	}
	return table.Flush()
}

func printFloor(w io.Writer, f *meter.FloorReport) {
	if f == nil {
		return
	}
	fmt.Fprintf(w, "floor: darkest on %s at [%.1f, %.1f, %.1f]: %s lx", f.Walk, f.At[0], f.At[1], f.At[2], figures(f.MinLux, 2))
	if f.MinLux < f.Limit {
		fmt.Fprintf(w, ", under %g lx: nobody should move in this look; bring up floor light. Local codes come first", f.Limit)
	}
	fmt.Fprintln(w)
}

func printMains(w io.Writer, m meter.MainsReport) {
	switch {
	case m.Safe:
		fmt.Fprintf(w, "  mains lamps at %.0f Hz: safe\n", m.Hz)
	case m.Nearest == nil:
		fmt.Fprintf(w, "  mains lamps at %.0f Hz: no shutter angle is safe at this frame rate\n", m.Hz)
	case m.Beat == 0:
		fmt.Fprintf(w, "  mains lamps at %.0f Hz: frames are alike, but a rolling shutter can show bars; safe at %.1f degrees\n", m.Hz, *m.Nearest)
	default:
		fmt.Fprintf(w, "  mains lamps at %.0f Hz: frames differ by up to %.0f %%, %.2g times a second; safe at %.1f degrees\n", m.Hz, m.Ripple*100, m.Beat, *m.Nearest)
	}
}

// printPulses prints a line for each type that dims by pulses: its lamp on which they show
// most.
func printPulses(w io.Writer, pulses []meter.PulseReport) {
	worst := map[string]meter.PulseReport{}
	var types []string
	for _, p := range pulses {
		before, known := worst[p.Type]
		if !known {
			types = append(types, p.Type)
		}
		if !known || p.Swing > before.Swing {
			worst[p.Type] = p
		}
	}
	for _, name := range types {
		p := worst[name]
		whose := "dimmed by pulses at " + figures(p.Hz, 3) + " Hz"
		if p.Invented {
			whose += " (an invented number)"
		}
		if !p.Shows {
			fmt.Fprintf(w, "  %s, %s: do not show\n", name, whose)
			continue
		}
		safe := "no shutter angle is safe at this frame rate"
		if p.Nearest != nil {
			safe = fmt.Sprintf("nearest safe angle %.1f degrees, if the lamp keeps to its frequency", *p.Nearest)
		}
		fmt.Fprintf(w, "  %s, %s: %s differs by up to %s stop between frames, or in %.0f bars of a rolling shutter; %s; shoot a test\n",
			name, whose, p.Lamp, figures(p.Swing, 2), p.Bars, safe)
	}
}
