package lamp_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/lamp"
)

// Each row spoils a sound type in one way and must be told of that and nothing else.
func TestValidateTells(t *testing.T) {
	for want, spoil := range map[string]func(*lamp.Type, *lamp.Mode){
		`lamp type "": it has no name`:                                   func(typ *lamp.Type, m *lamp.Mode) { typ.Name = "" },
		`unknown class "lantern"`:                                        func(typ *lamp.Type, m *lamp.Mode) { typ.Class = "lantern" },
		`emitter 2 ("red"): another emitter has that name`:               func(typ *lamp.Type, m *lamp.Mode) { typ.Emitters[1].Name = "red" },
		`emitter 1 (""): it has no name`:                                 func(typ *lamp.Type, m *lamp.Mode) { typ.Emitters[0].Name = "" },
		`emitter 3 ("blue"): 0 lumens is no light`:                       func(typ *lamp.Type, m *lamp.Mode) { typ.Emitters[2].Lumens = 0 },
		`emitter 3 ("blue"): NaN lumens is no light`:                     func(typ *lamp.Type, m *lamp.Mode) { typ.Emitters[2].Lumens = math.NaN() },
		`emitter 2 ("green"): its spectrum holds the power -1`:           func(typ *lamp.Type, m *lamp.Mode) { typ.Emitters[1].Spectrum[7] = -1 },
		`emitter 2 ("green"): its spectrum has no visible light`:         func(typ *lamp.Type, m *lamp.Mode) { clear(typ.Emitters[1].Spectrum[:]) },
		`beam angle of -1 is out of range; give 0 to 360`:                func(typ *lamp.Type, m *lamp.Mode) { typ.Photometry.BeamDeg = -1 },
		`field angle 20 is narrower than beam angle 30`:                  func(typ *lamp.Type, m *lamp.Mode) { typ.Photometry.BeamDeg, typ.Photometry.FieldDeg = 30, 20 },
		`width of -1 is out of range`:                                    func(typ *lamp.Type, m *lamp.Mode) { typ.Photometry.WidthM = -1 },
		`it takes 5 W on stand-by, more than the 4 W at full`:            func(typ *lamp.Type, m *lamp.Mode) { typ.Power = lamp.Power{FullW: 4, StandbyW: 5} },
		`it dims by pulses at -1 Hz`:                                     func(typ *lamp.Type, m *lamp.Mode) { typ.PWM.Hz = -1 },
		`it has no mode, so it cannot be controlled`:                     func(typ *lamp.Type, m *lamp.Mode) { typ.Modes = nil },
		`mode "2-cell": another mode has that name`:                      func(typ *lamp.Type, m *lamp.Mode) { typ.Modes = append(typ.Modes, m) },
		`a mode has no name`:                                             func(typ *lamp.Type, m *lamp.Mode) { m.Name = "" },
		`mode "2-cell": unknown dimmer curve "cubic"`:                    func(typ *lamp.Type, m *lamp.Mode) { m.Curve = "cubic" },
		`footprint of 513 slots; give 1 to 512`:                          func(typ *lamp.Type, m *lamp.Mode) { m.Footprint = 513 },
		`2 cells do not share out the lamp's 3 evenly`:                   func(typ *lamp.Type, m *lamp.Mode) { typ.Cells = 3 },
		`channel 3 ("red 1"): 12 bits; use 8, or 16`:                     func(typ *lamp.Type, m *lamp.Mode) { m.Channels[2].Bits = 12 },
		`slots 15 to 16 lie outside the footprint of 15 slots`:           func(typ *lamp.Type, m *lamp.Mode) { m.Channels[2].Offset = 15 },
		`slots -1 to 0 lie outside the footprint`:                        func(typ *lamp.Type, m *lamp.Mode) { m.Channels[2].Offset, m.Channels[2].Bits = -1, 16 },
		`channel 4 ("green 1"): slot 3 is taken by channel "red 1"`:      func(typ *lamp.Type, m *lamp.Mode) { m.Channels[3].Offset, m.Channels[3].Bits = 3, 8 },
		`channel 2 ("strobe"): it must drive an emitter or be a param`:   func(typ *lamp.Type, m *lamp.Mode) { m.Channels[1].Emitter = 0 },
		`channel 1 ("dimmer"): it must drive an emitter or be a param`:   func(typ *lamp.Type, m *lamp.Mode) { m.Channels[0].Param = nil },
		`channel 1 ("dimmer"): it drives emitter 9, but the lamp has 3`:  func(typ *lamp.Type, m *lamp.Mode) { m.Channels[0].Param, m.Channels[0].Emitter = nil, 8 },
		`channel 1 ("dimmer"): it drives cell 3, but the mode has 2`:     func(typ *lamp.Type, m *lamp.Mode) { c := &m.Channels[0]; c.Param, c.Emitter, c.Cell = nil, 0, 2 },
		`channel "dimmer" drives emitter "blue" of cell 2 already`:       func(typ *lamp.Type, m *lamp.Mode) { c := &m.Channels[0]; c.Param, c.Emitter, c.Cell = nil, 2, 1 },
		`no channel drives emitter "blue" of cell 2, so its light could`: func(typ *lamp.Type, m *lamp.Mode) { m.Channels = m.Channels[:7] },
		`another channel has the parameter "dimmer"`:                     func(typ *lamp.Type, m *lamp.Mode) { m.Channels[1].Param = m.Channels[0].Param },
		`channel 2 ("strobe"): the parameter has no name`:                func(typ *lamp.Type, m *lamp.Mode) { m.Channels[1].Param.Name = "" },
		`parameter "strobe" has the range 5 to 5`:                        func(typ *lamp.Type, m *lamp.Mode) { m.Channels[1].Param.Min, m.Channels[1].Param.Max = 5, 5 },
		`the safe value 30 of parameter "strobe" is out of its range`:    func(typ *lamp.Type, m *lamp.Mode) { m.Channels[1].Param.Safe = 30 },
		`the dimmer's safe value 50 would hold back light`:               func(typ *lamp.Type, m *lamp.Mode) { m.Channels[0].Param.Safe = 50 },
		`not that at the safe spread of 25`:                              spread(15, 25, 60),
		`a full beam angle of 1 to 170 degrees, not of 30 to 200`:        spread(30, 120, 200),
	} {
		t.Run(want, func(t *testing.T) {
			typ, m := build(t, "rgb", 2, 16, "square")
			spoil(typ, m)
			faults := typ.Validate()
			require.Len(t, faults, 1)
			require.ErrorContains(t, faults[0], want)
			var f *lamp.Fault
			require.ErrorAs(t, faults[0], &f)
			require.NotEmpty(t, f.What)
			require.NotEmpty(t, f.Mend)
		})
	}
}

func TestValidateTellsAllAtOnce(t *testing.T) {
	typ := &lamp.Type{Class: "nothing", Cells: -1, Modes: []*lamp.Mode{{Curve: "x"}}}
	require.Len(t, typ.Validate(), 6)
}

func TestValidateTooManyEmitters(t *testing.T) {
	typ, _ := build(t, "eight", 1, 8, "linear")
	typ.Emitters = append(typ.Emitters, typ.Emitters[0])
	faults := typ.Validate()
	require.ErrorContains(t, faults[0], "9 emitters, but a cell has at most 8")
}

func TestValidateAFogMachine(t *testing.T) {
	fog := &lamp.Type{Name: "fog", Class: lamp.Fog, Modes: []*lamp.Mode{{Name: "1-channel", Footprint: 1, Channels: []lamp.Channel{
		{Bits: 8, Name: "output", Cell: -1, Emitter: -1, Param: &lamp.Param{Name: "output", Unit: "%", Max: 100}}}}}}
	require.Empty(t, fog.Validate())
}

// spread makes the strobe of a lamp of 120 degrees a spread.
func spread(least, safe, most float64) func(*lamp.Type, *lamp.Mode) {
	return func(_ *lamp.Type, m *lamp.Mode) {
		*m.Channels[1].Param = lamp.Param{Name: lamp.Spread, Unit: "deg", Min: least, Max: most, Safe: safe}
	}
}
