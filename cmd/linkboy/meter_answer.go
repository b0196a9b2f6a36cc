package main

import (
	"linkboy/colour/safety"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
)

// meterAnswer is what `linkboy meter` found, in the shape of its JSON.
type meterAnswer struct {
	Location string         `json:"location"`
	Setup    string         `json:"setup"`
	Look     string         `json:"look"`
	KeyLux   float64        `json:"key_lux"` // that the camera is exposed for
	Marks    []markJSON     `json:"marks"`
	Lamps    []seenLampJSON `json:"lamps"`
	Floor    *floorJSON     `json:"floor,omitempty"`
	Flicker  []mainsJSON    `json:"flicker"`
	Pulses   []pulseJSON    `json:"pulses"` // of lamps that say how they dim
	Flips    []flipJSON     `json:"flips"`
	Stepping []steppingJSON `json:"stepping"`
	Levels   []levelJSON    `json:"levels"` // that the look asks for at marks
}

type markJSON struct {
	Name   string             `json:"name"`
	Lux    luxJSON            `json:"lux"`
	Stop   float64            `json:"stop"`
	Over   float64            `json:"stops_over_camera"`
	Ratio  *ratioJSON         `json:"ratio,omitempty"`
	Under  map[string]float64 `json:"stops_under_key,omitempty"`
	Spots  []spotJSON         `json:"spots"`
	Shadow float64            `json:"operator_shadow_stops"`
	groups []meter.GroupReading
}

type luxJSON struct {
	Total     float64            `json:"total"`
	FacingKey float64            `json:"facing_key,omitempty"`
	Up        float64            `json:"up"`
	ByGroup   map[string]float64 `json:"by_group"`
}

type ratioJSON struct {
	KeyFill float64 `json:"key_to_fill"`
	SumFill float64 `json:"key_and_fill_to_fill"`
}

type spotJSON struct {
	Name        string      `json:"name"`
	Reflectance float64     `json:"reflectance"`
	Over        [3]*float64 `json:"stops_over_grey"` // red, green, blue
	Hottest     string      `json:"hottest"`
	Margin      float64     `json:"clip_margin_stops"`
}

type seenLampJSON struct {
	ID        string  `json:"id"`
	Cell      int     `json:"cell"`
	Over      float64 `json:"stops_over_grey"`
	Hottest   string  `json:"hottest"`
	Clips     bool    `json:"clips"`
	KeepLevel float64 `json:"keep_colour_level"` // share of the level now
}

type floorJSON struct {
	MinLux float64    `json:"min_lux"`
	Limit  float64    `json:"limit"`
	At     [3]float64 `json:"at"`
	Walk   string     `json:"walk"`
}

type mainsJSON struct {
	Hz      float64  `json:"mains_hz"`
	Safe    bool     `json:"safe"`
	Nearest *float64 `json:"nearest_safe_deg,omitempty"`
	Ripple  float64  `json:"ripple"`
	Beat    float64  `json:"beat_hz"`
}

// pulseJSON is what the shutter makes of a lamp that dims by pulses.
type pulseJSON struct {
	Lamp     string   `json:"lamp"`
	Cell     int      `json:"cell"`
	Type     string   `json:"type"`
	Invented bool     `json:"invented,omitempty"`
	Hz       float64  `json:"hz"`
	Swing    float64  `json:"swing_stops"`
	Shows    bool     `json:"shows"`
	Bars     float64  `json:"bars"`
	Nearest  *float64 `json:"nearest_safe_deg,omitempty"`
}

type flipJSON struct {
	ReadoutMS float64 `json:"readout_ms"`
	Split     float64 `json:"split_share"`
	CleanMS   float64 `json:"clean_ms"`
}

// steppingJSON is a lamp on which a fade of the cue sheet to this look is not smooth.
type steppingJSON struct {
	Cue     int    `json:"cue"`
	Lamp    string `json:"lamp"`
	Verdict string `json:"verdict"`
}

// readMeter reads everything.
func readMeter(m *meter.Meter, s *scene) *meterAnswer {
	shot := s.set.Plan.Show.Shot(s.setup)
	a := &meterAnswer{
		Location: s.set.Plan.Location.Name, Setup: s.setup.Name, Look: s.look, KeyLux: shot.KeyLux(),
		Marks: []markJSON{}, Lamps: []seenLampJSON{}, Stepping: []steppingJSON{}, Pulses: []pulseJSON{},
		Levels: levelsOf(s.levels),
	}
	for _, r := range m.Marks() {
		a.Marks = append(a.Marks, markOf(r))
	}
	for _, l := range m.Lamps() {
		a.Lamps = append(a.Lamps, seenLampJSON{l.ID, l.Cell, l.Over, l.Hottest.String(), l.Clips, l.KeepColour})
	}
	if f, ok := m.Floor(); ok {
		a.Floor = &floorJSON{f.MinLux, float64(safety.AlarmFloor), [3]float64{f.At.X, f.At.Y, f.At.Z}, f.Walk}
	}
	for _, r := range m.Mains() {
		line := mainsJSON{Hz: float64(r.Hz), Safe: r.Safe, Ripple: r.Ripple, Beat: r.Beat}
		if r.HasNearest {
			nearest := float64(r.Nearest)
			line.Nearest = &nearest
		}
		a.Flicker = append(a.Flicker, line)
	}
	for _, p := range m.Pulses() {
		line := pulseJSON{Lamp: p.ID, Cell: p.Cell, Type: p.Type, Invented: p.Invented, Hz: p.Hz, Swing: p.Swing, Shows: p.Shows, Bars: p.Bars}
		if p.HasNearest {
			line.Nearest = new(float64(p.Nearest))
		}
		a.Pulses = append(a.Pulses, line)
	}
	for _, f := range m.Flips() {
		a.Flips = append(a.Flips, flipJSON{1000 * f.Readout, f.Split, 1000 * f.Clean})
	}
	for _, f := range s.place.CueFades() {
		if f.Cue.Look == s.look {
			a.Stepping = append(a.Stepping, rough(f, shot.FPS)...)
		}
	}
	return a
}

// rough lists the lamps on which a fade is not smooth.
func rough(f compile.CueFade, fps float64) []steppingJSON {
	var all []steppingJSON
	for i := range f.Steps {
		if v := verdict(&f.Steps[i], fps); v != smooth && v != aFlip {
			all = append(all, steppingJSON{f.Cue.Number, f.Steps[i].Lamp.ID, v})
		}
	}
	return all
}

func markOf(r meter.Reading) markJSON {
	out := markJSON{
		Name: r.Mark, Stop: r.Stop, Over: r.Over, Shadow: r.Shadow, groups: r.Groups,
		Lux: luxJSON{Total: r.Lux, FacingKey: r.KeyLux, Up: r.UpLux, ByGroup: map[string]float64{}},
	}
	for _, g := range r.Groups {
		out.Lux.ByGroup[g.Group] = g.Lux
		if g.UnderKey != nil {
			if out.Under == nil {
				out.Under = map[string]float64{}
			}
			out.Under[g.Group] = *g.UnderKey
		}
	}
	if r.Ratio != nil {
		out.Ratio = &ratioJSON{float64(r.Ratio.KeyFill), float64(r.Ratio.SumFill)}
	}
	for _, s := range r.Spots {
		out.Spots = append(out.Spots, spotJSON{s.Name, s.Reflectance, s.Over, s.Hottest.String(), s.Margin})
	}
	return out
}
