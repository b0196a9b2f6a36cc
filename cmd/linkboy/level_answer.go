package main

import (
	"fmt"
	"io"

	"linkboy/cues/meter"
)

func printLevels(w io.Writer, levels []meter.LevelReport) {
	for _, l := range levels {
		fmt.Fprintf(w, "  %s, %s: at %s %%", l.Group, l.Asked, figures(l.Level*100, 3))
		switch {
		case !l.Solved:
			fmt.Fprint(w, ": there is no light to measure it by")
		case l.Off > -0.05 && l.Off < 0.05:
			fmt.Fprintf(w, ", %s lx", figures(l.Lux, 3))
		default:
			fmt.Fprintf(w, ", %s lx, %+.1f stop off", figures(l.Lux, 3), l.Off)
		}
		fmt.Fprintln(w)
	}
}
