package against

import (
	"math"
	"slices"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/take"
)

// Report is a look against another one: what there is of the look that the other has not.
// Stops and directions go from the other look to the look.
type Report struct {
	Location   string            `json:"location"`
	Look       string            `json:"look"`
	Against    string            `json:"against"`
	Same       bool              `json:"same"` // nothing differs that counts
	Unmeasured bool              `json:"unmeasured"`
	Wears      Pair              `json:"wears"`
	Policy     Pair              `json:"policy"`
	Groups     []Group           `json:"groups"` // in the order of the location; those with light in one of the two
	Lamps      []take.Difference `json:"lamps"`  // worst first; then is the other look, now the look
	Parameters []Parameter       `json:"parameters"`
	Movement   []Movement        `json:"movement"`
}

// Pair is one thing of both looks; "" for none.
type Pair struct {
	Look    string `json:"look"`
	Against string `json:"against"`
}

// Differs tells whether the two are not the same.
func (p Pair) Differs() bool { return p.Look != p.Against }

// Group is the light of a group in both looks.
type Group struct {
	Name    string  `json:"group"`
	Look    Light   `json:"look"`
	Against Light   `json:"against"`
	Stops   float64 `json:"stops"`    // within 20 either way
	DeltaUV float64 `json:"delta_uv"` // CIE 1976 u'v' of all its light together; 0 where one is dark
	// CellStops and CellDeltaUV are of the cell that differs most.
	CellStops   float64 `json:"cell_stops"`
	CellDeltaUV float64 `json:"cell_delta_uv"`
	Level       string  `json:"level"`  // in words: "1.2 stops brighter", "goes dark"
	Colour      string  `json:"colour"` // in words: "warmer by 134 mired (5600 K to 3200 K)"; "" for none
	Counts      bool    `json:"counts"` // it differs by more than the same look again would
}

// Light is what a group gives in a look, over all of its cells.
type Light struct {
	Written string     `json:"written"` // its colours and level, as they are seen: "halves tide.lead, tide.second at 60%"
	Lumens  float64    `json:"lumens"`
	XY      [2]float64 `json:"xy"` // CIE 1931; 0, 0 for dark
	CCT     *float64   `json:"cct"`
	Duv     *float64   `json:"duv"`
}

// Parameter is a parameter of a lamp that both looks set to another value.
type Parameter struct {
	Lamp    string  `json:"lamp"`
	Name    string  `json:"parameter"`
	Unit    string  `json:"unit"`
	Look    float64 `json:"look"`
	Against float64 `json:"against"`
}

// Movement is how a group moves, as it is written; "" for not at all.
type Movement struct {
	Group string `json:"group"`
	Pair
}

// Of compares two looks of a place. The problems are those of the look that cannot be
// compiled; the report is nil then.
func Of(place *compile.Place, look, other *cues.Look) (*Report, cues.Problems) {
	show, loc := place.Show, place.Location
	r := &Report{Location: loc.Name, Look: look.Name, Against: other.Name, Groups: []Group{}, Parameters: []Parameter{}, Movement: []Movement{}}
	r.Unmeasured = !place.Lit() && (place.LookNeedsLight(look) || place.LookNeedsLight(other))
	a, problems := read(place, look)
	if a == nil {
		return nil, problems
	}
	b, problems := read(place, other)
	if b == nil {
		return nil, problems
	}
	r.Wears = Pair{wears(show, loc, look), wears(show, loc, other)}
	r.Policy = Pair{string(show.Policy(loc, look)), string(show.Policy(loc, other))}
	r.Lamps = take.Compare(b.lamps, a.lamps)
	for _, g := range loc.Groups {
		if told, lit := groupOf(place, g.Name, a, b); lit {
			r.Groups = append(r.Groups, told)
		}
		if m := (Movement{g.Name, Pair{a.moves[g.Name], b.moves[g.Name]}}); m.Differs() {
			r.Movement = append(r.Movement, m)
		}
	}
	r.Parameters = append(r.Parameters, parameters(loc, a.lamps, b.lamps)...)
	r.Same = len(r.Parameters) == 0 && len(r.Movement) == 0 &&
		!slices.ContainsFunc(r.Lamps, func(d take.Difference) bool { return d.State != take.Near })
	return r, nil
}

// seen is a look as its bytes have it.
type seen struct {
	light   []colour.XYZ // by cell
	lamps   []take.Lamp  // in rig order
	written map[string]string
	moves   map[string]string
}

func read(place *compile.Place, look *cues.Look) (*seen, cues.Problems) {
	still, _, problems := place.Still(look)
	if still == nil {
		return nil, problems
	}
	frame := place.Frame(still, true)
	s := &seen{light: make([]colour.XYZ, len(place.Cells)), lamps: place.Recorded(frame), written: map[string]string{}, moves: map[string]string{}}
	place.Light(frame, s.light)
	for _, worn := range place.Palette(look) {
		s.written[worn.Group] = writtenText(worn)
	}
	for _, layer := range place.Show.Lineage(place.Location, look) {
		for i := range layer.Paint {
			if m := layer.Paint[i].Moves; m != nil {
				s.moves[layer.Paint[i].On] = m.String()
				if m.Kind == cues.NoMotion {
					delete(s.moves, layer.Paint[i].On)
				}
			}
		}
	}
	return s, nil
}

func wears(show *cues.Show, loc *cues.Location, look *cues.Look) string {
	if c := show.Wears(loc, look); c != nil {
		return c.Name
	}
	return ""
}

// groupOf compares the light of a group; lit is false when both looks leave it dark.
func groupOf(place *compile.Place, name string, a, b *seen) (g Group, lit bool) {
	g.Name = name
	var now, then colour.XYZ
	worst := -1.0
	for _, i := range place.Group(name) {
		now, then = plus(now, a.light[i]), plus(then, b.light[i])
		stops, uv := take.Apart(b.light[i], a.light[i])
		if far := max(math.Abs(stops)/take.NearStops, uv/take.NearDeltaUV); far > worst {
			worst, g.CellStops, g.CellDeltaUV = far, stops, uv
		}
	}
	g.Look, g.Against = lightOf(now, a.written[name]), lightOf(then, b.written[name])
	g.Stops, g.DeltaUV = take.Apart(then, now)
	g.Counts = max(worst, math.Abs(g.Stops)/take.NearStops, g.DeltaUV/take.NearDeltaUV) > 1
	g.Level = levelWords(g.Look.dark(), g.Against.dark(), g.Stops)
	if !g.Look.dark() && !g.Against.dark() {
		g.Colour = colourWords(then.XY(), now.XY(), place.Balance)
	}
	return g, !g.Look.dark() || !g.Against.dark()
}

func plus(a, b colour.XYZ) colour.XYZ { return colour.XYZ{X: a.X + b.X, Y: a.Y + b.Y, Z: a.Z + b.Z} }

func lightOf(c colour.XYZ, written string) Light {
	l := Light{Written: written, Lumens: c.Y}
	if l.dark() {
		return l
	}
	xy := c.XY()
	l.XY = [2]float64{xy.X, xy.Y}
	if white, err := xy.CCT(); err == nil {
		l.CCT, l.Duv = new(float64(white.T)), new(float64(white.Duv))
	}
	return l
}

// dark tells whether there is no light to speak of, as package take has it.
func (l Light) dark() bool {
	stops, _ := take.Apart(colour.XYZ{}, colour.XYZ{Y: l.Lumens})
	return stops == 0
}

// parameters lists what lamps are set to otherwise, in rig order.
func parameters(loc *cues.Location, now, then []take.Lamp) []Parameter {
	var out []Parameter
	for i, l := range loc.Rig {
		mode := l.Lamp.Mode
		for k := range mode.Channels {
			p := mode.Channels[k].Param
			if p == nil || p.Name == lamp.Dimmer {
				continue
			}
			if a, b := mode.Read(p, now[i].Bytes), mode.Read(p, then[i].Bytes); a != b {
				out = append(out, Parameter{l.ID, p.Name, p.Unit, a, b})
			}
		}
	}
	return out
}
