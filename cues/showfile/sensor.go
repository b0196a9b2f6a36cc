package showfile

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour/camera"
	"linkboy/cues"
)

// sensor reads the camera's sensor: the name of one that comes with linkboy, or
// of a CSV file of sensitivities in the show's folder; nil after a problem.
func (l *loader) sensor(r *reader, n *yaml.Node) *camera.Sensor {
	text := r.text(n, "the sensor")
	switch {
	case text == "":
		return nil
	case strings.EqualFold(path.Ext(text), ".csv"):
		return l.sensorFile(r, n, text)
	}
	var names []string
	for _, s := range camera.Sensors() {
		if s.Name == text {
			return s
		}
		names = append(names, s.Name)
	}
	p := unknownProblem(r.pos(n), cues.CodeUnknownSensor, fmt.Sprintf("no sensor is named %q", shorten(text)), text, names)
	if cues.Nearest(text, names) == "" {
		p.Mend = "use one of them, or the name of a file in the show's folder, like my-camera.csv"
	}
	r.sink.add(p)
	return nil
}

// sensorFile reads a table of sensitivities; its problems have their place in it.
func (l *loader) sensorFile(r *reader, n *yaml.Node, file string) *camera.Sensor {
	refuse := func(code, what, why, mend string) *camera.Sensor {
		r.problem(n, code, what, why, mend)
		return nil
	}
	if !fs.ValidPath(file) {
		return refuse(cues.CodeUnknownSensor, fmt.Sprintf("%q is no file of the show", shorten(file)),
			"it must lie in the show's folder", "copy it there and write its name, like my-camera.csv")
	}
	f, err := l.fsys.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return refuse(cues.CodeUnknownSensor, "the show has no file "+shorten(file), "the camera's sensor is read from it",
			"copy it into the show's folder, or name a sensor that comes with linkboy, like "+camera.DefaultSensor)
	}
	if err != nil {
		return refuse(cues.CodeFileRead, shorten(file)+" cannot be read", reason(err), "check what it is and who may read it")
	}
	defer f.Close()
	s, err := camera.ReadCSV(f, file)
	var found camera.Problems
	switch {
	case errors.As(err, &found):
		for _, p := range found {
			l.sink.add(cues.NewProblem(cues.Pos{File: file, Line: p.Line, Column: p.Column}, cues.CodeBadSensor, p.What, p.Why, p.Mend))
		}
		return nil
	case err != nil:
		return refuse(cues.CodeFileRead, shorten(file)+" cannot be read", reason(err), "check what it is and who may read it")
	}
	return s
}
