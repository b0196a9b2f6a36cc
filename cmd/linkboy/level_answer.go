package main

import (
	"fmt"
	"io"

	"linkboy/cues/compile"
)

// levelJSON is a level that is measured at a mark, as it came out.
type levelJSON struct {
	Group string  `json:"group"`
	Asked string  `json:"asked"`
	Level float64 `json:"level"` // share of full that its cells have
	// Solved is false where there is no light to measure and the level is another; then
	// nothing of what follows is there.
	Solved bool    `json:"solved"`
	Lux    float64 `json:"lux,omitempty"`
	Target float64 `json:"target_lux,omitempty"`
	Off    float64 `json:"stops_off"`
}

func levelsOf(all []compile.MeasuredLevel) []levelJSON {
	out := []levelJSON{}
	for i := range all {
		l := &all[i]
		out = append(out, levelJSON{l.Group.Name, l.Asked.String(), float64(l.Share), l.Solved, l.Lux, l.Target, l.Off()})
	}
	return out
}

func printLevels(w io.Writer, levels []levelJSON) {
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
