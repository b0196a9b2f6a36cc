package meter

import (
	"linkboy/colour/safety"
	"linkboy/cues/compile"
)

// Report is everything that is read of a moment: what `linkboy meter --json` prints and
// `GET /api/meter` answers.
type Report struct {
	Location string           `json:"location"`
	Setup    string           `json:"setup"`
	Look     string           `json:"look"`    // "" when none is on
	KeyLux   float64          `json:"key_lux"` // that the camera is exposed for
	Camera   CameraReport     `json:"camera"`
	Marks    []MarkReport     `json:"marks"`
	Lamps    []LampReport     `json:"lamps"`
	Floor    *FloorReport     `json:"floor,omitempty"`
	Flicker  []MainsReport    `json:"flicker"`
	Flips    []FlipReport     `json:"flips"`
	Pulses   []PulseReport    `json:"pulses"` // of lamps that say how they dim
	Stepping []SteppingReport `json:"stepping"`
	Times    []TimeReport     `json:"times"`
	Levels   []LevelReport    `json:"levels"` // that the look asks for at marks
}

// CameraReport is how the set-up's camera is set.
type CameraReport struct {
	ISO        float64 `json:"iso"`
	Stop       float64 `json:"stop"`
	ShutterDeg float64 `json:"shutter_deg"`
	FPS        float64 `json:"fps"`
	Balance    float64 `json:"balance_k"`
	Over       float64 `json:"stops_over_grey_to_clip"`
	// Timeline is the rate of the edit, and Speed by how much faster than life its
	// picture moves: 0.4 for 60 frames on a timeline of 24. 0 where it is not known.
	Timeline float64 `json:"timeline_fps,omitempty"`
	Speed    float64 `json:"speed,omitempty"`
}

// MarkReport is a Reading.
type MarkReport struct {
	Name   string             `json:"name"`
	Lux    LuxReport          `json:"lux"`
	Stop   float64            `json:"stop"`
	Over   float64            `json:"stops_over_camera"`
	Ratio  *RatioReport       `json:"ratio,omitempty"`
	Under  map[string]float64 `json:"stops_under_key,omitempty"`
	Groups []GroupReport      `json:"groups"` // those with light there, in the location's order
	Spots  []SpotReport       `json:"spots"`
	Shadow float64            `json:"operator_shadow_stops"`
}

// LuxReport is the light at a mark.
type LuxReport struct {
	Total     float64            `json:"total"`
	FacingKey float64            `json:"facing_key,omitempty"`
	Up        float64            `json:"up"`
	ByGroup   map[string]float64 `json:"by_group"`
}

// GroupReport is the light of one group alone.
type GroupReport struct {
	Name  string   `json:"name"`
	Lux   float64  `json:"lux"`
	Under *float64 `json:"stops_under_key,omitempty"` // nil for the key, and without one
	IsKey bool     `json:"is_key,omitempty"`
}

// RatioReport is a lighting ratio in both of its meanings, each to 1.
type RatioReport struct {
	KeyFill float64 `json:"key_to_fill"`
	SumFill float64 `json:"key_and_fill_to_fill"`
}

// SpotReport is a Spot.
type SpotReport struct {
	Name        string      `json:"name"`
	Reflectance float64     `json:"reflectance"`
	Over        [3]*float64 `json:"stops_over_grey"` // red, green, blue
	Hottest     string      `json:"hottest"`
	Margin      float64     `json:"clip_margin_stops"`
}

// LampReport is a Lamp in shot.
type LampReport struct {
	ID        string  `json:"id"`
	Cell      int     `json:"cell"`
	Over      float64 `json:"stops_over_grey"`
	Hottest   string  `json:"hottest"`
	Clips     bool    `json:"clips"`
	KeepLevel float64 `json:"keep_colour_level"` // share of the level now
}

// FloorReport is the darkest point where people walk, against a limit in lux.
type FloorReport struct {
	MinLux float64    `json:"min_lux"`
	Limit  float64    `json:"limit"`
	At     [3]float64 `json:"at"`
	Walk   string     `json:"walk"`
}

// MainsReport is a Mains.
type MainsReport struct {
	Hz      float64  `json:"mains_hz"`
	Safe    bool     `json:"safe"`
	Nearest *float64 `json:"nearest_safe_deg,omitempty"`
	Ripple  float64  `json:"ripple"`
	Beat    float64  `json:"beat_hz"`
}

// PulseReport is what the shutter makes of a lamp that dims by pulses.
type PulseReport struct {
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

// FlipReport is a Flip.
type FlipReport struct {
	ReadoutMS float64 `json:"readout_ms"`
	Split     float64 `json:"split_share"`
	CleanMS   float64 `json:"clean_ms"`
}

// SteppingReport is a lamp on which a fade of the cue sheet to the look is not smooth.
type SteppingReport struct {
	Cue     int    `json:"cue"`
	Lamp    string `json:"lamp"`
	Verdict string `json:"verdict"`
}

// TimeReport is how long a fade of the cue sheet to the look takes: on set, in frames of
// the camera, and on screen where the edit's rate is known.
type TimeReport struct {
	Cue       int      `json:"cue"`
	Asked     string   `json:"asked"`
	RealS     float64  `json:"real_s"`
	Frames    float64  `json:"frames"`
	OnScreenS *float64 `json:"on_screen_s,omitempty"`
}

// LevelReport is a level that is measured at a mark, as it came out.
type LevelReport struct {
	Group string  `json:"group"`
	Asked string  `json:"asked"`
	Level float64 `json:"level"` // share of full that its cells have
	// Solved is false where there is no light to measure and the level is another; then
	// nothing of what follows is there.
	Solved bool    `json:"solved"`
	Lux    float64 `json:"lux,omitempty"`
	Target float64 `json:"target_lux,omitempty"`
	Off    float64 `json:"stops_off"`
}

// Shown is what is on in the moment that is read.
type Shown struct {
	Look   string
	Levels []compile.MeasuredLevel
	Fades  []compile.CueFade // of the location's cue sheet, by the set-up
}

// Report reads everything of the moment that was set.
func (m *Meter) Report(on Shown) *Report {
	plan := m.set.Plan
	r := &Report{
		Location: plan.Location.Name, Setup: m.setup.Name, Look: on.Look, KeyLux: m.camera.KeyLux(), Camera: m.cameraReport(),
		Marks: []MarkReport{}, Lamps: []LampReport{}, Pulses: []PulseReport{}, Stepping: []SteppingReport{}, Times: m.times(on.Look), Levels: LevelsOf(on.Levels),
	}
	for _, reading := range m.Marks() {
		r.Marks = append(r.Marks, m.markReport(reading))
	}
	for _, l := range m.Lamps() {
		r.Lamps = append(r.Lamps, LampReport{l.ID, l.Cell, l.Over, l.Hottest.String(), l.Clips, l.KeepColour})
	}
	if f, ok := m.Floor(); ok {
		r.Floor = &FloorReport{f.MinLux, float64(safety.AlarmFloor), [3]float64{f.At.X, f.At.Y, f.At.Z}, f.Walk}
	}
	for _, k := range m.Mains() {
		line := MainsReport{Hz: float64(k.Hz), Safe: k.Safe, Ripple: k.Ripple, Beat: k.Beat}
		if k.HasNearest {
			line.Nearest = new(float64(k.Nearest))
		}
		r.Flicker = append(r.Flicker, line)
	}
	for _, f := range m.Flips() {
		r.Flips = append(r.Flips, FlipReport{1000 * f.Readout, f.Split, 1000 * f.Clean})
	}
	for _, p := range m.Pulses() {
		line := PulseReport{Lamp: p.ID, Cell: p.Cell, Type: p.Type, Invented: p.Invented, Hz: p.Hz, Swing: p.Swing, Shows: p.Shows, Bars: p.Bars}
		if p.HasNearest {
			line.Nearest = new(float64(p.Nearest))
		}
		r.Pulses = append(r.Pulses, line)
	}
	for _, f := range on.Fades {
		if f.Cue.Look == on.Look {
			r.Stepping = append(r.Stepping, rough(f, m.camera.FPS)...)
		}
	}
	return r
}

func (m *Meter) cameraReport() CameraReport {
	c := CameraReport{
		ISO: m.camera.ISO, Stop: m.camera.Stop, ShutterDeg: m.camera.ShutterDeg, FPS: m.camera.FPS,
		Balance: float64(m.camera.Balance), Over: m.camera.Over, Timeline: m.set.Plan.Show.Timeline,
	}
	if c.FPS > 0 {
		c.Speed = c.Timeline / c.FPS
	}
	return c
}

// times gives how long the fades of the cue sheet to a look take, by the camera of the
// set-up. Times that are no times are told elsewhere.
func (m *Meter) times(look string) []TimeReport {
	out := []TimeReport{}
	clock := m.set.Plan.Show.Clock(m.set.Plan.Location).ShotBy(m.setup)
	for _, c := range m.set.Plan.Location.Cues {
		real, err := c.Fade.Real(clock)
		if c.Look != look || err != nil || real == 0 {
			continue
		}
		t := TimeReport{Cue: c.Number, Asked: c.Fade.String(), RealS: real.Seconds(), Frames: real.Seconds() * clock.Capture}
		if clock.Capture > 0 && clock.Timeline > 0 {
			t.OnScreenS = new(t.Frames / clock.Timeline)
		}
		out = append(out, t)
	}
	return out
}

// rough lists the lamps on which a fade is not smooth.
func rough(f compile.CueFade, fps float64) []SteppingReport {
	var all []SteppingReport
	for i := range f.Steps {
		if v := f.Steps[i].Verdict(fps); v != compile.Smooth && v != compile.AFlip {
			all = append(all, SteppingReport{f.Cue.Number, f.Steps[i].Lamp.ID, string(v)})
		}
	}
	return all
}

func (m *Meter) markReport(r Reading) MarkReport {
	out := MarkReport{
		Name: r.Mark, Stop: r.Stop, Over: r.Over, Shadow: r.Shadow, Groups: []GroupReport{},
		Lux: LuxReport{Total: r.Lux, FacingKey: r.KeyLux, Up: r.UpLux, ByGroup: map[string]float64{}},
	}
	for _, g := range r.Groups {
		out.Groups = append(out.Groups, GroupReport{g.Group, g.Lux, g.UnderKey, g.Group == m.key})
		out.Lux.ByGroup[g.Group] = g.Lux
		if g.UnderKey != nil {
			if out.Under == nil {
				out.Under = map[string]float64{}
			}
			out.Under[g.Group] = *g.UnderKey
		}
	}
	if r.Ratio != nil {
		out.Ratio = &RatioReport{float64(r.Ratio.KeyFill), float64(r.Ratio.SumFill)}
	}
	for _, s := range r.Spots {
		out.Spots = append(out.Spots, SpotReport{s.Name, s.Reflectance, s.Over, s.Hottest.String(), s.Margin})
	}
	return out
}

// LevelsOf reports levels that are measured at a mark.
func LevelsOf(all []compile.MeasuredLevel) []LevelReport {
	out := []LevelReport{}
	for i := range all {
		l := &all[i]
		out = append(out, LevelReport{l.Group.Name, l.Asked.String(), float64(l.Share), l.Solved, l.Lux, l.Target, l.Off()})
	}
	return out
}
