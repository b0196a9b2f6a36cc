package showfile

import (
	"fmt"
	"io"
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

// sensorFile reads a table of sensitivities; nil after a problem.
func (l *loader) sensorFile(r *reader, n *yaml.Node, file string) *camera.Sensor {
	var sensor *camera.Sensor
	l.table(r, n, tableFile{
		name: file, example: "my-camera.csv", missing: cues.CodeUnknownSensor, bad: cues.CodeBadSensor,
		why:  "the camera's sensor is read from it",
		mend: "copy it into the show's folder, or name a sensor that comes with linkboy, like " + camera.DefaultSensor,
	}, func(f io.Reader) (err error) {
		sensor, err = camera.ReadCSV(f, file)
		return err
	})
	return sensor
}
