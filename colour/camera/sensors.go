package camera

import (
	"embed"
	"fmt"
	"strings"
	"sync"

	"linkboy/colour"
)

// The head of each table names where it came from.
//
//go:embed tables/*.csv
var tables embed.FS

// DefaultSensor is the name of the sensor to take where none is named.
const DefaultSensor = "bayer-a"

// builtIn says which tables there are; their order is that of Sensors.
var builtIn = []struct{ name, source string }{
	{"bayer-a", "still camera with a mosaic sensor, measured at a national laboratory [Darrodi2015]"},
	{"bayer-b", "still camera with a mosaic sensor, from the open data set of the Academy of Motion Picture Arts and Sciences"},
	{"layered-a", "still camera with a layered sensor: overlapping channels, a hard case [Darrodi2015]"},
	{"three-chip", "the standard television camera, behind a prism [EBU Tech 3355]"},
}

var sensors = sync.OnceValue(func() []*Sensor {
	all := make([]*Sensor, len(builtIn))
	for i, b := range builtIn {
		all[i] = mustReadTable(b.name, b.source)
	}
	return all
})

// mustReadTable reads an embedded table. One that cannot be read is a fault of
// the build, so it panics.
func mustReadTable(name, source string) *Sensor {
	f, err := tables.Open("tables/" + name + ".csv")
	if err != nil {
		panic("camera: " + err.Error())
	}
	defer f.Close()
	s, err := ReadCSV(f, name)
	if err != nil {
		panic("camera: " + err.Error())
	}
	s.Source = source
	return s
}

// Sensors returns the sensors that come with linkboy, from open data. Their
// names are their kinds. They are shared by all callers and must not be
// written to. Between the rows of their tables the curves run straight.
//
//	name        curves                                  grid
//	bayer-a     still camera, mosaic [Darrodi2015]      380-780 nm, 5 nm
//	bayer-b     still camera, mosaic, open data set     380-780 nm, 5 nm
//	layered-a   still camera, layered [Darrodi2015]     400-680 nm, 10 nm
//	three-chip  standard camera [EBU Tech 3355]         380-760 nm, 5 nm
func Sensors() []*Sensor { return append([]*Sensor(nil), sensors()...) }

// SensorByName returns the sensor of that name that comes with linkboy.
func SensorByName(name string) (*Sensor, error) {
	var known []string
	for _, s := range sensors() {
		if s.Name == name {
			return s, nil
		}
		known = append(known, s.Name)
	}
	return nil, &colour.Error{
		What: fmt.Sprintf("camera %q", name),
		Why:  "no sensitivities of that name come with linkboy",
		Mend: "choose one of " + strings.Join(known, ", ") + ", or give the show a table of its own: nm,r,g,b",
	}
}
