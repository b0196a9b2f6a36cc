package main

import (
	"fmt"
	"io"

	"linkboy/cues/compile"
)

// matchJSON is what it costs a group to show one colour with all its lamps.
type matchJSON struct {
	Group   string         `json:"group"`
	Asked   pointJSON      `json:"asked"`
	Shown   pointJSON      `json:"shown"`
	DeltaUV float64        `json:"delta_uv"`
	Weakest string         `json:"weakest"`
	Lumens  float64        `json:"lumens"` // of each lamp at full
	Costs   []togetherCost `json:"costs"`
}

func matchesOf(report compile.Report) []matchJSON {
	matches := []matchJSON{}
	for _, m := range report.Matches {
		told := matchJSON{Group: m.Group.Name, Asked: pointOf(m.Asked), Shown: pointOf(m.Aim), DeltaUV: m.DeltaUV, Lumens: m.Lumens}
		if m.Weakest != nil {
			told.Weakest = m.Weakest.ID
		}
		for _, p := range m.Parts {
			told.Costs = append(told.Costs, togetherCost{Lamp: p.Lamp.ID, DeltaUV: p.DeltaUV, Stops: finite(p.Stops)})
		}
		matches = append(matches, told)
	}
	return matches
}

// printMatches says what each group shows and which of its lamps give up most.
func printMatches(w io.Writer, matches []matchJSON) {
	for _, m := range matches {
		fmt.Fprintf(w, "  group %s shows xy %.4f %.4f for xy %.4f %.4f with all its lamps: off by %.4f u'v', %.0f lm each at full, as %s has no more\n",
			m.Group, m.Shown.XY[0], m.Shown.XY[1], m.Asked.XY[0], m.Asked.XY[1], m.DeltaUV, m.Lumens, m.Weakest)
		for _, c := range m.Costs {
			fmt.Fprintf(w, "    %s gives up %.4f u'v' and %.1f stop\n", c.Lamp, c.DeltaUV, c.Stops)
		}
	}
}
