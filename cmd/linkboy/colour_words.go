package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// askedColour is a colour, a level and the camera's point of view, read from
// the command line.
type askedColour struct {
	text    string
	xy      colour.XY
	level   colour.Level
	balance colour.XY
	view    camera.View
	over    float64 // stops over grey before the camera clips

	policy    recipe.Policy
	reference *recipe.Reference // nil unless the policy is camera
	observer  spectra.Observer
}

// readAsked reads the words of the command line that every lamp shares.
func readAsked(text string, f colourFlags, v viewpoint) (askedColour, error) {
	a := askedColour{text: text, over: v.over}
	var err error
	if a.balance, err = chromaticityOf(v.balance, colour.D65); err != nil {
		return a, err
	}
	if a.xy, err = chromaticityOf(text, a.balance); err != nil {
		return a, err
	}
	if a.level, err = levelOf(f.level); err != nil {
		return a, err
	}
	if a.view, err = viewOf(v, a.balance); err != nil {
		return a, err
	}
	if a.observer, err = spectra.ObserverByName(f.observer); err != nil {
		return a, usageError{mendedError{err, "write '2 deg' or '10 deg'"}}
	}
	a.policy = recipe.Policy(f.policy)
	if !slices.Contains(recipe.Policies(), f.policy) {
		return a, usageError{mendedError{fmt.Errorf("no policy %q", f.policy), "the policies are: " + strings.Join(recipe.Policies(), ", ")}}
	}
	if a.policy == recipe.ForCamera {
		a.reference = recipe.NewReference(a.view)
	}
	return a, nil
}

// viewOf balances a sensor to a white.
func viewOf(v viewpoint, balance colour.XY) (camera.View, error) {
	if v.sensor == nil {
		return camera.View{}, usageError{mendedError{fmt.Errorf("no sensor %q", v.name), "the sensors are: " + strings.Join(sensorNames(), ", ")}}
	}
	white, err := balance.CCT()
	if err != nil {
		return camera.View{}, usageError{mendedError{fmt.Errorf("a camera cannot be balanced to that: %w", err), "give --balance as a white, like 4300 K"}}
	}
	return v.sensor.BalanceAt(white.T)
}

// chromaticityOf reads a colour in show-file syntax under a balance white.
func chromaticityOf(text string, balance colour.XY) (colour.XY, error) {
	form, problem := showfile.ParseColour(text)
	if problem != nil {
		return colour.XY{}, wrongWords(problem)
	}
	p, err := form.Chromaticity(balance)
	var fault *colour.Error
	if errors.As(err, &fault) {
		return colour.XY{}, usageError{mendedError{fmt.Errorf("%s: %s", fault.What, fault.Why), fault.Mend}}
	}
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
	err := errors.New(p.What)
	if p.Why != "" {
		err = fmt.Errorf("%s: %s", p.What, p.Why)
	}
	return usageError{mendedError{err, p.Mend}}
}
