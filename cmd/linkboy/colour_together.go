package main

import (
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// togetherJSON is the one colour and light that all lamps of a comparison can
// show: what a group with `match: group` does.
type togetherJSON struct {
	pointJSON
	DeltaUV float64        `json:"delta_uv"` // from asked
	Lumens  float64        `json:"lumens"`   // of each lamp
	Weakest string         `json:"weakest"`
	Costs   []togetherCost `json:"costs"`
	Reach   [][2]float64   `json:"reach"` // corners in u'v' of what all can show
}

// togetherCost is what a lamp gives up against what it shows alone.
type togetherCost struct {
	Lamp    string  `json:"lamp"`
	DeltaUV float64 `json:"delta_uv"`
	Stops   float64 `json:"stops"`
}

// together matches lamps; nil where they have no colour in common.
func together(all []*solvedColour, asked askedColour) (*togetherJSON, error) {
	group, err := groupOf(all)
	if err != nil {
		return nil, err
	}
	parts := make([]emitters.Part, len(all))
	m, err := group.Match(asked.xy, asked.level, asked.balance, emitters.EqualLight, parts)
	switch {
	case errors.Is(err, emitters.ErrNoReach):
		return nil, nil
	case err != nil:
		return nil, err
	}
	t := &togetherJSON{
		pointJSON: pointOf(m.Aim), DeltaUV: m.DeltaUV, Lumens: m.Lumens,
		Weakest: all[m.Weakest].answer.Lamp, Reach: cornersOf(group.Reach().Corners()),
	}
	for i, p := range parts {
		t.Costs = append(t.Costs, togetherCost{all[i].answer.Lamp, p.DeltaUV, finite(p.Stops)})
	}
	return t, nil
}

// groupOf makes a group of whole lamps, with the light of all their cells.
func groupOf(all []*solvedColour) (*emitters.Group, error) {
	var cells []*emitters.Cell
	for _, s := range all {
		lights := s.cell.Emitters()
		for i := range lights {
			lights[i].Full = lights[i].Full.Scale(float64(s.unit.mode.Cells))
		}
		cell, err := emitters.NewCell(lights)
		if err != nil {
			return nil, fmt.Errorf("all cells of %s: %w", s.unit.name(), err)
		}
		cells = append(cells, cell)
	}
	return emitters.NewGroup(cells)
}

func cornersOf(corners []colour.UV) [][2]float64 {
	points := make([][2]float64, len(corners))
	for i, c := range corners {
		points[i] = [2]float64{c.U, c.V}
	}
	return points
}

// printTogether says what the lamps show when they must agree.
func printTogether(w io.Writer, t *togetherJSON) {
	if t == nil {
		fmt.Fprintln(w, "  together: there is no colour that all of them can show")
		return
	}
	fmt.Fprintf(w, "  together (as match: group): xy %.4f %.4f, off by %.4f u'v', %.0f lm each, as %s has no more\n", t.XY[0], t.XY[1], t.DeltaUV, t.Lumens, t.Weakest)
	table := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	fmt.Fprintln(table, "  lamp\tu'v' given up\tlight given up")
	for _, c := range t.Costs {
		fmt.Fprintf(table, "  %s\t%.4f\t%.1f stop\n", c.Lamp, c.DeltaUV, c.Stops)
	}
	_ = table.Flush()
}
