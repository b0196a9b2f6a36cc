// Package cues is the model of a show: what a production owns, where it
// shoots, how each place can look and when it changes. It is plain data;
// cues/showfile reads and writes it, cues/compile turns it into tracks,
// cues/play plays them, cues/session holds what runs now.
package cues

import (
	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/exposure"
	"linkboy/colour/lamp"
	"linkboy/colour/photometry"
)

// Show is one production.
type Show struct {
	Dir       string // folder on disk; "" for a show in memory
	Title     string
	Timeline  float64 // frames per second of the edit
	Tempo     Tempo   // zero when the show has none
	Camera    Camera
	Safety    Safety
	Cast      []*Character // in file order
	Looks     []*Look      // looks for every location, in file order
	Kit       []*KitLamp
	Types     []*lamp.Type // built-in and the show's own
	Locations []*Location  // in file-name order
}

// Tempo is musical time.
type Tempo struct {
	BPM         float64
	BeatsPerBar int
}

// Camera is how the show is shot.
type Camera struct {
	ISO        float64
	Stop       float64 // T-stop
	ShutterDeg float64
	FPS        float64       // capture rate
	Balance    colour.Kelvin // white balance; the white W of hue and saturation
	Over       float64       // stops over grey before clipping
	Under      float64
	Sensor     *camera.Sensor // nil for camera.DefaultSensor
	// SensorWidthMM is the width of the picture on the sensor, in millimetres.
	SensorWidthMM float64
}

// Settings are those that a meter is asked for.
func (c *Camera) Settings() exposure.Settings {
	return exposure.Settings{ISO: c.ISO, Stop: c.Stop, Seconds: exposure.ShutterSeconds(photometry.Degrees(c.ShutterDeg), c.FPS)}
}

// KeyLux is the light that the camera is exposed for, by a standard meter, in lux.
func (c *Camera) KeyLux() float64 { return float64(exposure.Standard.Lux(c.Settings())) }

// View gives the sensor balanced as the camera is.
func (c *Camera) View() (camera.View, error) {
	sensor := c.Sensor
	if sensor == nil {
		var err error
		if sensor, err = camera.SensorByName(camera.DefaultSensor); err != nil {
			return camera.View{}, err
		}
	}
	return sensor.BalanceAt(c.Balance)
}

// Safety is what keeps people safe in the dark.
type Safety struct {
	// Floor is the least light kept while people move.
	Floor FloorLight
	// Work is the safe bright state.
	Work WorkLight
	// FlashingWarned says that cast, crew and audience are warned of looks that
	// flash over the limit, so that they may run.
	FlashingWarned bool
}

// FloorLight is kept under every cue that does not say `dark: true`.
type FloorLight struct {
	On     string // group name
	Level  colour.Level
	Colour Colour
	At     Pos
}

// WorkLight is one touch away, always.
type WorkLight struct {
	On     string // group name, "" means every lamp
	Level  colour.Level
	Colour Colour
	At     Pos
}

// Character owns colours by name: lead, second, ...
type Character struct {
	Name    string
	Colours []NamedColour // in file order
	At      Pos
}

// NamedColour is a colour with the name its owner gave it.
type NamedColour struct {
	Name   string
	Colour Colour
}

// Colour is a colour in a show file: either a form (hue, CCT, xy ...) or the
// name of a cast colour ("lead": of the character a look wears; "warden.lead").
type Colour struct {
	Form colour.Form // nil when Cast is set
	Cast string
	At   Pos
}

// IsZero reports whether no colour was written.
func (c Colour) IsZero() bool { return c.Form == nil && c.Cast == "" }
