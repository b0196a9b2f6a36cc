package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// stock is the lamps that --lamp can name: types, and the kit of a show.
type stock struct {
	types []*lamp.Type
	kit   []*cues.KitLamp
}

// stockOf gives the built-in types or, with the folder of a show, its types and
// its kit.
func stockOf(cmd *cobra.Command, dir string) (stock, error) {
	if dir == "" {
		return stock{types: showfile.BuiltinTypes()}, nil
	}
	show, err := loadShow(cmd, dir)
	if err != nil {
		return stock{}, err
	}
	return stock{types: show.Types, kit: show.Kit}, nil
}

// unit is a lamp type, or a lamp of the kit, in one of its modes.
type unit struct {
	typ  *lamp.Type
	mode *lamp.Mode
	kit  *cues.KitLamp // nil for a type
}

// name is what the unit was asked for by.
func (u unit) name() string {
	if u.kit != nil {
		return u.kit.ID
	}
	return u.typ.Name
}

// unit finds a lamp of the kit, or else a lamp type, and a mode: "" is the kit
// lamp's, or the type's first.
func (s stock) unit(name, mode string) (unit, error) {
	if name == "" {
		return unit{}, usageError{mendedError{errors.New("no lamp type"), "add --lamp, one of: " + strings.Join(s.names(), ", ")}}
	}
	for _, k := range s.kit {
		if k.ID == name {
			if mode == "" {
				mode = k.Mode.Name
			}
			return s.inMode(unit{typ: k.Type, kit: k}, mode)
		}
	}
	for _, typ := range s.types {
		if typ.Name == name {
			return s.inMode(unit{typ: typ}, mode)
		}
	}
	what, mend := "no lamp type", "the types are: "+strings.Join(s.names(), ", ")
	if s.kit != nil {
		what, mend = "no lamp of the kit and no lamp type", "there are: "+strings.Join(s.names(), ", ")
	} else {
		mend += "; lamps of a kit need --show DIR"
	}
	if near := cues.Nearest(name, s.names()); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return unit{}, usageError{mendedError{fmt.Errorf("%s %q", what, name), mend}}
}

// inMode puts a unit into a mode by name; "" is the first.
func (s stock) inMode(u unit, name string) (unit, error) {
	if len(u.typ.Emitters) == 0 {
		return unit{}, usageError{mendedError{fmt.Errorf("lamp type %q gives no light", u.typ.Name), "choose a type with emitters: " + strings.Join(s.names(), ", ")}}
	}
	mode, ok := u.typ.Mode(name)
	if !ok {
		var known []string
		for _, m := range u.typ.Modes {
			known = append(known, m.Name)
		}
		return unit{}, usageError{mendedError{fmt.Errorf("lamp type %q has no mode %q", u.typ.Name, name), "its modes are: " + strings.Join(known, ", ")}}
	}
	u.mode = mode
	return u, nil
}

// names lists the lamps of the kit, then the types.
func (s stock) names() []string {
	var names []string
	for _, k := range s.kit {
		names = append(names, k.ID)
	}
	for _, typ := range s.types {
		names = append(names, typ.Name)
	}
	return names
}

// typeNames lists the built-in lamp types.
func typeNames() []string { return stock{types: showfile.BuiltinTypes()}.names() }
