package session

import (
	"fmt"
	"slices"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/script"
)

// LookPaint is a look as it is written, for whoever paints: all statements from the first
// look it starts from to its own, and what becomes of them here.
type LookPaint struct {
	Look     string       `json:"look"`
	Location string       `json:"location"` // "" for a look of the show
	From     string       `json:"from"`
	Wears    string       `json:"wears"` // its own; see Wearing
	Policy   string       `json:"policy"`
	Note     string       `json:"note"`
	Wearing  string       `json:"wearing"` // whose colours plain names mean
	Layers   []PaintLayer `json:"layers"`  // the first one first, the look's own last
	Misses   []PaintMiss  `json:"misses"`
	Levels   []PaintLevel `json:"levels"`
	Cast     []CastOwner  `json:"cast"`
}

// PaintLayer is what one look adds.
type PaintLayer struct {
	Look     string      `json:"look"`
	Location string      `json:"location"` // "" for a look of the show
	Paint    []PaintLine `json:"paint"`
}

// PaintLine is one statement, in the words of the file. Number counts from 1.
type PaintLine struct {
	Number  int      `json:"number"`
	On      string   `json:"on"`
	Pattern string   `json:"pattern"`
	Colours []string `json:"colours"`
	Level   string   `json:"level"`
}

// PaintMiss is a colour that a lamp cannot show, in CIE 1976 u', v'.
type PaintMiss struct {
	Lamp    string     `json:"lamp"`
	Asked   [2]float64 `json:"asked"`
	Reached [2]float64 `json:"reached"`
	DeltaUV float64    `json:"delta_uv"`
}

// PaintLevel is a level that is measured at a mark: by how many stops it is off, 0 where
// it is met.
type PaintLevel struct {
	Group string  `json:"group"`
	Asked string  `json:"asked"`
	Off   float64 `json:"off_stops"`
	Share float64 `json:"share"`
}

// CastOwner is a character with its colours.
type CastOwner struct {
	Name    string       `json:"name"`
	Colours []CastColour `json:"colours"`
}

// CastColour is a colour of the cast: its text, and where it is in u', v'.
type CastColour struct {
	Name string     `json:"name"`
	Text string     `json:"text"`
	UV   [2]float64 `json:"uv"`
}

// LookPaint gives a look for whoever paints. The error is a *Refusal.
func (s *Session) LookPaint(name string) (LookPaint, error) {
	site := s.site.Load()
	k, err := site.look(name)
	if err != nil {
		return LookPaint{}, err
	}
	_, report, _ := site.place.Still(k.look)
	return site.paintOf(k.look, &report), nil
}

// paintOf gives a look with what becomes of it here.
func (s *site) paintOf(look *cues.Look, report *compile.Report) LookPaint {
	show := s.place.Show
	p := LookPaint{
		Look: look.Name, Location: s.owner(look), From: look.From, Wears: look.Wears, Policy: string(look.Policy), Note: look.Note,
		Layers: []PaintLayer{}, Misses: []PaintMiss{}, Levels: []PaintLevel{}, Cast: s.cast(),
	}
	if who := show.Wears(s.loc, look); who != nil {
		p.Wearing = who.Name
	}
	for _, layer := range show.Lineage(s.loc, look) {
		p.Layers = append(p.Layers, s.layer(layer))
	}
	for _, m := range report.Misses {
		p.Misses = append(p.Misses, PaintMiss{m.Lamp.ID, uvOf(m.Asked), uvOf(m.Reached), m.DeltaUV})
	}
	for _, l := range report.Levels {
		p.Levels = append(p.Levels, PaintLevel{l.Group.Name, l.Asked.String(), l.Off(), float64(l.Share)})
	}
	return p
}

// owner is the location whose look it is, "" for the show.
func (s *site) owner(k *cues.Look) string {
	if slices.Contains(s.loc.Looks, k) {
		return s.loc.Name
	}
	return ""
}

func (s *site) layer(k *cues.Look) PaintLayer {
	l := PaintLayer{Look: k.Name, Location: s.owner(k), Paint: []PaintLine{}}
	for i := range k.Paint {
		paint := &k.Paint[i]
		line := PaintLine{Number: i + 1, On: paint.On, Pattern: string(paint.Pattern), Colours: []string{}, Level: paint.Level.String()}
		for _, c := range paint.Colours {
			line.Colours = append(line.Colours, c.String())
		}
		l.Paint = append(l.Paint, line)
	}
	return l
}

func (s *site) cast() []CastOwner {
	out := []CastOwner{}
	for _, c := range s.place.Show.Cast {
		owner := CastOwner{c.Name, []CastColour{}}
		for _, named := range c.Colours {
			if named.Colour.Form == nil {
				continue
			}
			if xy, err := named.Colour.Form.Chromaticity(s.place.Balance); err == nil {
				owner.Colours = append(owner.Colours, CastColour{named.Name, named.Colour.String(), uvOf(xy)})
			}
		}
		out = append(out, owner)
	}
	return out
}

func uvOf(p colour.XY) [2]float64 {
	uv := p.UV()
	return [2]float64{uv.U, uv.V}
}

// Reach is what some cells can all show: a polygon in CIE 1976 u', v', counterclockwise,
// empty where they have no colour in common. Types are those of the lamps, with what each
// shows alone.
type Reach struct {
	Shared [][2]float64 `json:"shared"`
	Types  []TypeReach  `json:"types"`
}

// TypeReach is what one type of lamp shows.
type TypeReach struct {
	Type  string       `json:"type"`
	Reach [][2]float64 `json:"reach"`
}

// Reach gives what cells of the plan can all show. The error is a *Refusal.
func (s *Session) Reach(cells []int) (Reach, error) {
	site := s.site.Load()
	all := site.place.Cells
	out := Reach{Shared: [][2]float64{}, Types: []TypeReach{}}
	var shared emitters.Reach
	seen := map[*emitters.Cell]bool{}
	for _, i := range cells {
		if i < 0 || i >= len(all) {
			return out, refuse(Unknown, codeUnknownCell, fmt.Sprintf("there is no cell %d at %s", i, site.loc.Name),
				fmt.Sprintf("cells are numbered as in the plan, 0 to %d", len(all)-1))
		}
		mix := all[i].Mix()
		if seen[mix] {
			continue
		}
		if len(seen) == 0 {
			shared = mix.Reach()
		} else {
			shared = shared.Intersect(mix.Reach())
		}
		seen[mix] = true
		out.Types = append(out.Types, TypeReach{all[i].Lamp.Lamp.Type.Name, corners(mix.Reach())})
	}
	out.Shared = corners(shared)
	return out, nil
}

func corners(r emitters.Reach) [][2]float64 {
	out := [][2]float64{}
	if r.Empty() {
		return out
	}
	for _, c := range r.Corners() {
		out = append(out, [2]float64{c.U, c.V})
	}
	return out
}

// Script gives the colour script of the show, the location that is lit in its light.
func (s *Session) Script() []script.Row {
	site := s.site.Load()
	show := site.place.Show
	rows := []script.Row{}
	for _, loc := range show.Locations {
		place := site.place
		if loc != site.loc {
			if place, _ = compile.Location(show, loc); place == nil {
				continue
			}
		}
		rows = append(rows, script.Of(place)...)
	}
	return rows
}
