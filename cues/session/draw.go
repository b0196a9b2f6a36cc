package session

import (
	"math"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// Plan gives the location as the page draws it.
func (s *Session) Plan() Plan {
	s.mu.Lock()
	site, revision, clock := s.site.Load(), s.revision, s.clock()
	s.mu.Unlock()
	loc, place := site.loc, site.place
	p := Plan{
		Revision: revision, Show: site.showName(), Location: loc.Name, Locations: []string{},
		Bounds: bounds(loc, place), Set: []PlanPiece{}, Marks: []PlanMark{}, Setups: []PlanSetup{},
		Groups: []PlanGroup{}, Lamps: lamps(place), Looks: site.planLooks(), Cues: site.sheet(clock),
		Balance: [2]float64{place.Balance.X, place.Balance.Y},
	}
	for _, l := range place.Show.Locations {
		p.Locations = append(p.Locations, l.Name)
	}
	for _, piece := range loc.Set {
		p.Set = append(p.Set, planPiece(&piece))
	}
	for _, m := range loc.Marks {
		points := [][3]float64{}
		for _, at := range m.Points {
			points = append(points, at)
		}
		p.Marks = append(p.Marks, PlanMark{m.Name, points})
	}
	for _, setup := range loc.Setups {
		p.Setups = append(p.Setups, planSetup(place.Show, loc, setup))
	}
	for _, g := range loc.Groups {
		cells := place.Group(g.Name)
		if cells == nil {
			cells = []int{}
		}
		p.Groups = append(p.Groups, PlanGroup{g.Name, cells})
	}
	return p
}

// planSetup lists what a set-up does.
func planSetup(show *cues.Show, loc *cues.Location, u *cues.Setup) PlanSetup {
	p := PlanSetup{
		Name: u.Name, Camera: u.Camera, LookAt: u.LookAt, FPS: show.Shot(u).FPS,
		Trims: []PlanTrim{}, Swaps: [][2]string{}, Mirrors: []string{},
	}
	for _, t := range u.Trims {
		p.Trims = append(p.Trims, PlanTrim{t.Group, t.Stops})
	}
	for _, pair := range u.Swaps {
		p.Swaps = append(p.Swaps, [2]string{pair[0].Group, pair[1].Group})
	}
	for _, g := range loc.Groups {
		if u.Mirrored(g.Name) {
			p.Mirrors = append(p.Mirrors, g.Name)
		}
	}
	return p
}

// planPiece gives the box around a piece.
func planPiece(piece *cues.SetPiece) PlanPiece {
	p := PlanPiece{Kind: piece.Shape.Kind(), Name: piece.Name}
	low, high := piece.Shape.Bounds()
	for i := range low {
		p.Centre[i], p.Size[i] = (low[i]+high[i])/2, high[i]-low[i]
	}
	return p
}

// lamps lists the lamps where they stand, in rig order.
func lamps(place *compile.Place) []PlanLamp {
	out := []PlanLamp{}
	for _, r := range place.Location.Rig {
		first, n := place.CellsOf(r)
		kind := r.Lamp.Type
		l := PlanLamp{
			ID: r.ID, Kit: r.Lamp.ID, Type: kind.Name, Class: string(kind.Class),
			Place: r.Place, Along: r.Along, Address: r.Address.String(), Circuit: r.Circuit,
			LengthM: kind.Photometry.LengthM, WidthM: kind.Photometry.WidthM,
			Cells: []PlanCell{}, FirstCell: first,
		}
		if r.HasAim {
			l.Aim = (*[3]float64)(&r.Aim)
		}
		for _, c := range place.Cells[first : first+n] {
			l.Cells = append(l.Cells, PlanCell{c.Place, c.MostLumens})
		}
		out = append(out, l)
	}
	return out
}

// planLooks lists the looks that can be run here.
func (s *site) planLooks() []PlanLook {
	out := []PlanLook{}
	for _, name := range s.names {
		k := s.show().Look(s.loc, name)
		look := PlanLook{Name: name, Note: k.Note}
		if who := s.show().Wears(s.loc, k); who != nil {
			look.Wears = who.Name
			look.Lead = swatch(who.Colour("lead"), s.place.Balance)
			look.Second = swatch(who.Colour("second"), s.place.Balance)
		}
		out = append(out, look)
	}
	return out
}

// swatch gives a colour as X, Y, Z with Y = 1; nil for none.
func swatch(c cues.Colour, balance colour.XY) *[3]float64 {
	if c.Form == nil {
		return nil
	}
	xy, err := c.Form.Chromaticity(balance)
	if err != nil {
		return nil
	}
	light := xy.XYZ(1)
	return &[3]float64{light.X, light.Y, light.Z}
}

// sheet lists the cues in real time; a time that needs a clock the show has
// not counts as none.
func (s *site) sheet(clock cues.Clock) []PlanCue {
	out := []PlanCue{}
	ms := func(d cues.Duration) int64 {
		real, err := d.Real(clock)
		if err != nil {
			return 0
		}
		return real.Milliseconds()
	}
	for _, c := range s.loc.Cues {
		cue := PlanCue{
			Cue: c.Number, Look: c.Look, FadeMS: ms(c.Fade), DelayMS: ms(c.Delay),
			Timecode: c.Timecode.String(), Dark: c.Dark, Path: string(c.Path), Note: c.Note, FadeText: c.Fade.String(),
		}
		if cue.Path == "" {
			cue.Path = string(cues.PathShort)
		}
		if c.After != nil {
			cue.AfterMS = new(ms(*c.After))
		}
		out = append(out, cue)
	}
	return out
}

// margin is how much ground the plan shows around what stands there, in metres.
const margin = 0.5

// bounds gives the rectangle that everything stands in.
func bounds(loc *cues.Location, place *compile.Place) Bounds {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	add := func(at cues.Point, x, y float64) {
		low[0], low[1] = min(low[0], at[0]-x), min(low[1], at[1]-y)
		high[0], high[1] = max(high[0], at[0]+x), max(high[1], at[1]+y)
	}
	for _, piece := range loc.Set {
		from, to := piece.Shape.Bounds()
		add(from, 0, 0)
		add(to, 0, 0)
	}
	for _, m := range loc.Marks {
		for _, at := range m.Points {
			add(at, margin, margin)
		}
	}
	for _, r := range loc.Rig {
		add(r.Place, margin, margin)
	}
	for _, c := range place.Cells {
		add(c.Place, margin, margin)
	}
	for _, setup := range loc.Setups {
		add(setup.Camera, margin, margin)
	}
	if math.IsInf(low[0], 1) {
		return Bounds{Max: [2]float64{1, 1}}
	}
	return Bounds{low, high}
}
