package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// scene is a look in a lit location, from a set-up.
type scene struct {
	look  string
	set   *stage.Stage
	lit   *transport.Lit
	setup *cues.Setup
	slots [][]byte // the bytes that the look sends
}

// sceneOf compiles a look and computes the light of its location.
func sceneOf(cmd *cobra.Command, show *cues.Show, location, look, setup string) (*scene, error) {
	place, err := placeOf(cmd, show, location)
	if err != nil {
		return nil, err
	}
	found := show.Look(place.Location, look)
	if found == nil {
		return nil, noSuch("look", look, show.LookNames(place.Location))
	}
	s := &scene{look: found.Name}
	if s.setup, err = setupOf(place.Location, setup); err != nil {
		return nil, err
	}
	still, _, problems := place.Still(found)
	if problems.HasErrors() {
		printProblems(cmd.ErrOrStderr(), show.Dir, problems)
		return nil, errBadShow
	}
	s.slots = place.Frame(still, true)
	if s.set, problems = stage.Build(place); s.set == nil {
		printProblems(cmd.ErrOrStderr(), show.Dir, problems)
		return nil, errBadShow
	}
	s.lit, err = light(cmd.Context(), s.set)
	return s, err
}

// light computes the map of a stage.
func light(ctx context.Context, set *stage.Stage) (*transport.Lit, error) {
	m, err := transport.Compute(ctx, &set.Place, transport.Options{})
	if err != nil {
		return nil, err
	}
	return transport.NewLit(&set.Place, m), nil
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
