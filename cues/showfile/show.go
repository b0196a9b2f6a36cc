package showfile

import (
	"fmt"
	"math"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// What holds where a show does not say: the rates most films are shot and cut
// at, a half-open shutter and daylight (common practice, no source).
const (
	defaultRate    = 24
	defaultISO     = 800
	defaultStop    = 2.8
	defaultShutter = 180
	defaultBalance = 5600
	defaultOver    = 6
	defaultUnder   = 8
	defaultBeats   = 4
	defaultBPM     = 120
	// The width of the picture on a sensor of the size of 35 mm film (24.89 mm:
	// SMPTE's camera aperture, from memory).
	defaultSensorWidth = 24.9
)

// Ranges of show values.
var (
	rates        = span{1, 1000}
	isos         = span{1, 10_000_000}
	tStops       = span{0.5, 128}
	shutters     = span{1, 360}
	latitudes    = span{0, 20}
	sensorWidths = span{1, 500}
	bpms         = span{20, 400}
	beatsBar     = span{1, 32}
)

// readShow reads show.yaml and reports whether it is a map.
func (l *loader) readShow() bool {
	r, root, ok := l.open("show.yaml", false)
	s := l.show
	read := false
	if root != nil {
		read = r.keys(root, "the show", schema{
			"title":    may(func(n *yaml.Node) { s.Title = r.text(n, "the title") }),
			"timeline": may(r.into(&s.Timeline, "the timeline", "fps", rates)),
			"tempo":    may(func(n *yaml.Node) { s.Tempo = r.tempo(n) }),
			"camera":   may(func(n *yaml.Node) { l.camera(r, n, &s.Camera) }),
			"cast":     may(func(n *yaml.Node) { s.Cast = r.cast(n) }),
			"looks":    may(func(n *yaml.Node) { s.Looks = l.looks(r, n) }),
			"safety":   may(func(n *yaml.Node) { l.safety(r, n) }),
		})
	}
	l.showRead = ok
	setDefaults(s)
	return read
}

func setDefaults(s *cues.Show) {
	fill := func(dst *float64, value float64) {
		if *dst == 0 {
			*dst = value
		}
	}
	c := &s.Camera
	fill(&s.Timeline, c.FPS)
	fill(&s.Timeline, defaultRate)
	fill(&c.FPS, s.Timeline)
	fill(&c.ISO, defaultISO)
	fill(&c.Stop, defaultStop)
	fill(&c.ShutterDeg, defaultShutter)
	fill((*float64)(&c.Balance), defaultBalance)
	fill(&c.SensorWidthMM, defaultSensorWidth)
	fill(&c.Over, defaultOver)
	fill(&c.Under, defaultUnder)
}

func (r *reader) tempo(n *yaml.Node) cues.Tempo {
	var t cues.Tempo
	beats := float64(defaultBeats)
	r.keys(n, "the tempo", schema{
		"bpm":           need(r.into(&t.BPM, "bpm", "", bpms)),
		"beats-per-bar": may(func(n *yaml.Node) { beats = max(1, float64(r.whole(n, "beats-per-bar", beatsBar))) }),
	})
	t.BeatsPerBar = int(beats)
	if t.BPM == 0 {
		t.BPM = defaultBPM // told already; a time in beats is not to blame
	}
	return t
}

// whole reads a whole number.
func (r *reader) whole(n *yaml.Node, what string, in span) int {
	v, ok := r.number(n, what, in)
	if ok && v != math.Trunc(v) {
		r.problem(n, cues.CodeBadNumber, fmt.Sprintf("%s is no whole number for %s", shorten(n.Value), what),
			"halves make no sense here", fmt.Sprintf("write %s", short(math.Trunc(v))))
		return 0
	}
	return int(v)
}

func (l *loader) camera(r *reader, n *yaml.Node, c *cues.Camera) {
	known := r.exposure(c)
	known["over"] = may(r.into(&c.Over, "over", "stops", latitudes))
	known["under"] = may(r.into(&c.Under, "under", "stops", latitudes))
	known["sensor"] = may(func(n *yaml.Node) { c.Sensor = l.sensor(r, n) })
	r.keys(n, "the camera", known)
}

// exposure gives the keys of a camera that each set-up can have its own of.
func (r *reader) exposure(c *cues.Camera) schema {
	return schema{
		"iso":          may(r.into(&c.ISO, "iso", "", isos)),
		"stop":         may(func(n *yaml.Node) { c.Stop = r.tStop(n) }),
		"shutter":      may(r.into(&c.ShutterDeg, "the shutter", "deg", shutters)),
		"fps":          may(r.into(&c.FPS, "fps", "fps", rates)),
		"balance":      may(r.into((*float64)(&c.Balance), "the balance", "K", kelvins)),
		"sensor-width": may(r.into(&c.SensorWidthMM, "the sensor's width", "mm", sensorWidths)),
	}
}

// tStop reads T2.8.
func (r *reader) tStop(n *yaml.Node) float64 {
	text, isT := strings.CutPrefix(r.text(n, "the stop"), "T")
	v, rest, ok := splitAmount(text)
	if n.Kind != yaml.ScalarNode {
		return 0
	}
	if !isT || !ok || rest != "" || !tStops.holds(v) {
		r.problem(n, cues.CodeBadNumber, fmt.Sprintf("%q is no T-stop", shorten(n.Value)),
			fmt.Sprintf("it is T and a number from %s", tStops), "write it like T2.8")
		return 0
	}
	return v
}

func (r *reader) cast(n *yaml.Node) []*cues.Character {
	var cast []*cues.Character
	r.each(n, "the cast", func(key, value *yaml.Node) {
		if r.name(key, "a character") == "" || !r.present(key, value) {
			return
		}
		c := &cues.Character{Name: key.Value, At: r.pos(key)}
		r.each(value, "the colours of "+c.Name, func(key, value *yaml.Node) {
			if r.name(key, "a colour") == "" {
				return
			}
			var own cues.Colour
			if r.present(key, value) {
				own = r.colour(value, c.Name+"'s "+key.Value)
			}
			if own.Cast != "" {
				r.problem(value, cues.CodeBadColour, fmt.Sprintf("%q is no colour by itself", own.Cast),
					"a character's colour is the colour itself, not the name of another", colourForms)
				own = cues.Colour{}
			}
			c.Colours = append(c.Colours, cues.NamedColour{Name: key.Value, Colour: own})
		})
		cast = append(cast, c)
	})
	return cast
}

func (l *loader) safety(r *reader, n *yaml.Node) {
	floor, work := &l.show.Safety.Floor, &l.show.Safety.Work
	r.keys(n, "safety", schema{
		"flashing": may(func(n *yaml.Node) { l.show.Safety.FlashingWarned = r.word(n, "word for flashing", "warned") != "" }),
		"floor-light": may(func(n *yaml.Node) {
			floor.At = r.pos(n)
			r.keys(n, "the floor light", schema{
				"on":     need(l.named(r, &floor.On, floor, "on", "a group")),
				"level":  need(func(n *yaml.Node) { floor.Level = r.fixedLevel(n, "the floor light") }),
				"colour": need(func(n *yaml.Node) { floor.Colour = r.safeColour(n, "the floor light") }),
			})
		}),
		"work-light": may(func(n *yaml.Node) {
			work.At = r.pos(n)
			r.keys(n, "the work light", schema{
				"on":     may(l.named(r, &work.On, work, "on", "a group")),
				"level":  need(func(n *yaml.Node) { work.Level = r.fixedLevel(n, "the work light") }),
				"colour": need(func(n *yaml.Node) { work.Colour = r.safeColour(n, "the work light") }),
			})
		}),
	})
}

// safeColour reads a colour that does not depend on who is worn.
func (r *reader) safeColour(n *yaml.Node, what string) cues.Colour {
	c := r.colour(n, "the colour of "+what)
	if c.Cast != "" && !strings.Contains(c.Cast, ".") {
		r.problem(n, cues.CodeBadColour, fmt.Sprintf("%q is not clear for %s", c.Cast, what),
			"it wears no character", "write whose colour it is, like warden.lead, or a white like 4300 K")
		return cues.Colour{}
	}
	return c
}

// named reads a name that refers to something and remembers where it stands.
func (l *loader) named(r *reader, dst *string, of any, key, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		*dst = r.name(n, what)
		l.places[place{of, key}] = r.pos(n)
	}
}
