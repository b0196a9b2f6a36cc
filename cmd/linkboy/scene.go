package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/stage"
	"linkboy/cues/track"
)

// scene is a look in a lit location, from a set-up.
type scene struct {
	look  string
	place *compile.Place // in its light
	set   *stage.Stage
	lit   *transport.Lit
	setup *cues.Setup
	slots [][]byte // the bytes that the look sends
	// levels are those of the look that are measured at marks.
	levels []compile.MeasuredLevel
}

// sceneOf compiles a look and computes the light of its location.
func sceneOf(cmd *cobra.Command, show *cues.Show, location, look, setup string) (*scene, error) {
	place, err := placeOf(cmd, show, location)
	if err != nil {
		return nil, err
	}
	if show.Look(place.Location, look) == nil {
		return nil, noSuch("look", look, show.LookNames(place.Location))
	}
	s, err := emptyScene(cmd, place, setup)
	if err != nil {
		return nil, err
	}
	return s, s.wear(cmd, look)
}

// emptyScene computes the light of a location, without a look.
func emptyScene(cmd *cobra.Command, place *compile.Place, setup string) (*scene, error) {
	s := &scene{}
	var err error
	if s.setup, err = setupOf(place.Location, setup); err != nil {
		return nil, err
	}
	var problems cues.Problems
	if s.set, problems = stage.Build(place); s.set == nil {
		printProblems(cmd.ErrOrStderr(), place.Show.Dir, problems)
		return nil, errBadShow
	}
	m, err := mapOf(cmd, s.set)
	if err != nil {
		return nil, err
	}
	s.lit = transport.NewLit(&s.set.Place, m)
	s.place = place.WithLight(meter.NewLevels(s.set, s.lit)).WithSetup(s.setup)
	return s, nil
}

// wear puts a look of the location on the lamps.
func (s *scene) wear(cmd *cobra.Command, look string) error {
	still, report, err := s.still(cmd, look, false)
	if err != nil {
		return err
	}
	s.look, s.slots, s.levels = look, s.place.Frame(still, true), report.Levels
	return nil
}

// still solves a look of the location in its light, as a cue shows it.
func (s *scene) still(cmd *cobra.Command, look string, dark bool) (track.Still, compile.Report, error) {
	dir := s.place.Show.Dir
	still, report, problems := s.place.StillOf(s.place.Show.Look(s.place.Location, look), dark)
	if problems.HasErrors() {
		printProblems(cmd.ErrOrStderr(), dir, problems)
		return nil, report, errBadShow
	}
	printProblems(cmd.ErrOrStderr(), dir, aboutLevels(problems))
	return still, report, nil
}

// moving is still with what moves in the look, as a cue shows it; a look that may not run is refused.
func (s *scene) moving(cmd *cobra.Command, look string, dark bool) (track.Still, *track.Motion, error) {
	if _, _, err := s.still(cmd, look, dark); err != nil {
		return nil, nil, err
	}
	still, motion, _, problems := s.place.MovingOf(s.place.Show.Look(s.place.Location, look), dark)
	if problems.HasErrors() {
		printProblems(cmd.ErrOrStderr(), s.place.Show.Dir, problems)
		return nil, nil, errBadShow
	}
	return still, motion, nil
}

// aboutLevels picks the problems of levels at marks and of trims.
func aboutLevels(problems cues.Problems) cues.Problems {
	return slices.DeleteFunc(slices.Clone(problems), func(p *cues.Problem) bool {
		return p.Code != cues.CodeLevelOff && p.Code != cues.CodeLevelNoLight && p.Code != cues.CodeTrimOver
	})
}

func setupOf(loc *cues.Location, name string) (*cues.Setup, error) {
	var known []string
	for _, s := range loc.Setups {
		if s.Name == name || name == "" {
			return s, nil
		}
		known = append(known, s.Name)
	}
	if name == "" {
		return nil, usageError{mendedError{fmt.Errorf("%s has no set-up", loc.Name), "add one to its file: setups: {wide: {camera: [6, -4, 1.5], look-at: a, lens: 24 mm}}"}}
	}
	return nil, noSuch("set-up", name, known)
}
