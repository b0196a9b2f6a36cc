package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"linkboy/colour/camera"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// stock is the lamps that --lamp can name: types, and the kit of a show.
type stock struct {
	types []*lamp.Type
	kit   []*cues.KitLamp
	show  *cues.Show // nil without one
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
	return stock{types: show.Types, kit: show.Kit, show: show}, nil
}

// viewpoint is how a camera stands to the light.
type viewpoint struct {
	balance string // a white, in show-file words
	sensor  *camera.Sensor
	name    string  // of the sensor asked for, where there is no such one
	over    float64 // stops over grey before it clips
}

// viewpoint is that of the flags and, where they are silent, of the show.
func (s stock) viewpoint(cmd *cobra.Command, f colourFlags) viewpoint {
	v := viewpoint{balance: f.balance, name: f.sensor, over: defaultOver}
	if s.show != nil {
		v.over = s.show.Camera.Over
		if !cmd.Flags().Changed("balance") {
			v.balance = fmt.Sprintf("%g K", float64(s.show.Camera.Balance))
		}
		if !cmd.Flags().Changed("sensor") && s.show.Camera.Sensor != nil {
			v.sensor = s.show.Camera.Sensor
		}
	}
	if v.sensor == nil {
		v.sensor, _ = camera.SensorByName(f.sensor)
	}
	return v
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

// stockNames lists what --lamp can name, in silence: with a show that cannot be
// read, the built-in types.
func stockNames(dir string) []string {
	if dir != "" {
		if show, problems := showfile.Load(dir); show != nil && !problems.HasErrors() {
			return stock{types: show.Types, kit: show.Kit}.names()
		}
	}
	return stock{types: showfile.BuiltinTypes()}.names()
}
