package session_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues/session"
)

// A look comes with all that it starts from, in the words of the file, and with whose
// colours it wears.
func TestLookPaint(t *testing.T) {
	play(t, func(s *set) {
		p, err := s.LookPaint("tide")
		require.NoError(t, err)
		require.Equal(t, []string{"tide", "", "warden", "tide", "tide"}, []string{p.Look, p.Location, p.From, p.Wears, p.Wearing})
		require.Len(t, p.Layers, 2)
		require.Equal(t, "warden", p.Layers[0].Look)
		require.Equal(t, session.PaintLine{Number: 2, On: "edge", Pattern: "alternate", Colours: []string{"lead", "second"}, Level: "50%"}, p.Layers[0].Paint[1])
		require.Empty(t, p.Layers[1].Paint)
		require.Equal(t, "tide", p.Cast[1].Name)
		require.Equal(t, "lead", p.Cast[1].Colours[0].Name)
		require.Equal(t, "{hue: 186, sat: 90%}", p.Cast[1].Colours[0].Text)
		balance, err := colour.CCT{T: 4300}.XY()
		require.NoError(t, err)
		want, err := colour.HueSat{Hue: 186, Sat: 0.9}.Chromaticity(balance)
		require.NoError(t, err)
		require.InDelta(t, want.UV().U, p.Cast[1].Colours[0].UV[0], 1e-3)

		_, err = s.LookPaint("tied")
		var refusal *session.Refusal
		require.True(t, errors.As(err, &refusal))
		require.Equal(t, session.Unknown, refusal.Kind)
	})
}

// What unlike lamps can all show lies in what each of them shows.
func TestReachOfCells(t *testing.T) {
	play(t, func(s *set) {
		cells := map[string]int{}
		for _, l := range s.Plan().Lamps {
			cells[l.Class] = l.FirstCell
		}
		tube, err := s.Reach([]int{cells["tube"], cells["tube"] + 1})
		require.NoError(t, err)
		require.Len(t, tube.Types, 1, "cells of one type are asked once")
		require.Equal(t, tube.Types[0].Reach, tube.Shared)
		both, err := s.Reach([]int{cells["tube"], cells["puck"]})
		require.NoError(t, err)
		require.Len(t, both.Types, 2)
		require.Less(t, area(both.Shared), area(tube.Shared)+1e-9)
		require.Greater(t, area(both.Shared), 0.0)
		_, err = s.Reach([]int{99})
		require.ErrorContains(t, err, "no cell 99")
	})
}

// area is that of a polygon, by the shoelace formula.
func area(corners [][2]float64) (sum float64) {
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		sum += (a[0]*b[1] - b[0]*a[1]) / 2
	}
	return sum
}

func TestScriptOfTheShow(t *testing.T) {
	play(t, func(s *set) {
		at := map[string]int{}
		for _, r := range s.Script() {
			at[r.Location]++
		}
		require.Equal(t, map[string]int{"deep-end": 4, "diving-stage": 4}, at)
	})
}
