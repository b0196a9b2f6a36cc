package compile_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
)

// The layout writes what colour/lamp, which knows nothing of layouts, reads as
// the same drives: within half a step of the channel, as rounding must. The
// layout's dimmer curves are tables; on the s-curve, flat towards full, the
// table is off by up to 210 steps of 16 bits there, which is 1.3e-4 of the light.
func TestLayoutWritesWhatLampsRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, kind := range showfile.BuiltinTypes() {
		for _, mode := range kind.Modes {
			r := newRig(t)
			l := r.lamp(kind.Name, mode.Name, "all")
			p := r.place()
			require.NoError(t, p.Layout.Validate())
			first, n := p.CellsOf(l)
			require.Equal(t, 0, first)
			if len(kind.Emitters) == 0 {
				require.Zero(t, n)
			} else {
				require.Equal(t, mode.Cells, n)
			}
			for range 20 {
				still := p.Dark()
				drives, read := make([]emitters.Drives, n), make([]emitters.Drives, n)
				for i := range drives {
					for e := range kind.Emitters {
						v := float32(math.Pow(rng.Float64(), 3))
						drives[i][e] = float64(v)
						still[p.Cells[i].First+e] = v
					}
				}
				got := p.Frame(still, false)[0]
				mode.Decode(kind, got, read)
				requireDrives(t, kind, mode, drives, read)
				requireParams(t, kind, mode, got)
				lights := make([]colour.XYZ, n)
				p.Light([][]byte{got}, lights)
				for i, light := range lights {
					require.Equal(t, p.Cells[i].Mix().Light(read[i]), light, "%s %s cell %d", kind.Name, mode.Name, i)
				}
			}
		}
	}
}

// requireDrives requires the drives read to be those wanted, within half a step
// of the channel.
func requireDrives(t *testing.T, kind *lamp.Type, mode *lamp.Mode, wanted, read []emitters.Drives) {
	t.Helper()
	law, err := emitters.CurveByName(string(mode.Curve))
	require.NoError(t, err)
	slack := 1e-9 // a step or two above black on a gamma curve
	if mode.Curve == emitters.SName {
		slack = 1.3e-4
	}
	for _, ch := range mode.Channels {
		if ch.Param != nil {
			continue
		}
		half := 0.51 / float64(uint(1)<<ch.Bits-1)
		if ch.Bits == 16 && mode.Curve != emitters.LinearName {
			half *= 2 // the table's own half step
		}
		x, got := law.Control(wanted[ch.Cell][ch.Emitter]), read[ch.Cell][ch.Emitter]
		require.GreaterOrEqual(t, got, law.Light(x-half)-slack, "%s %s %s", kind.Name, mode.Name, ch.Name)
		require.LessOrEqual(t, got, law.Light(x+half)+slack, "%s %s %s", kind.Name, mode.Name, ch.Name)
	}
}

// requireParams requires the bytes of the parameters to be those of colour/lamp.
func requireParams(t *testing.T, kind *lamp.Type, mode *lamp.Mode, got []byte) {
	t.Helper()
	safe := make([]byte, mode.Footprint)
	mode.Encode(kind, nil, nil, safe)
	for _, ch := range mode.Channels {
		if ch.Param != nil {
			require.Equal(t, safe[ch.Offset:ch.Offset+ch.Bits/8], got[ch.Offset:ch.Offset+ch.Bits/8], "%s %s %s", kind.Name, mode.Name, ch.Name)
		}
	}
}

func TestSafeValuesAreAlwaysSent(t *testing.T) {
	r := newRig(t)
	l := r.lamp("tube-rgbww-4ft", "16-cell", "all")
	p := r.place()
	bytes := p.Frame(p.Dark(), false)[0]
	for _, ch := range l.Lamp.Mode.Channels {
		if ch.Param == nil {
			require.Zero(t, bytes[ch.Offset], ch.Name)
			continue
		}
		want := byte(ch.Param.Share(ch.Param.Safe)*255 + 0.5)
		require.Equal(t, want, bytes[ch.Offset], ch.Name)
		require.Equal(t, want, p.Layout.Universes[0].Base[ch.Offset], "%s in the bytes under all slots", ch.Name)
	}
}

func TestUniversesAreEvenAndAscending(t *testing.T) {
	r := newRig(t)
	r.port = 7
	r.lamp("key-bicolour", "16-bit", "key")
	r.port, r.slot = 2, 509
	r.lamp("key-bicolour", "8-bit", "key")
	r.port, r.slot = 3, 1
	r.lamp("tube-rgbww-4ft", "1-cell", "edge") // 7 slots
	p := r.place()
	require.Len(t, p.Layout.Universes, 3)
	require.EqualValues(t, 2, p.Layout.Universes[0].Address)
	require.Len(t, p.Layout.Universes[0].Base, 512)
	require.EqualValues(t, 3, p.Layout.Universes[1].Address)
	require.Len(t, p.Layout.Universes[1].Base, 8)
	require.EqualValues(t, 7, p.Layout.Universes[2].Address)
}

func TestLampPastTheUniverseIsRefused(t *testing.T) {
	r := newRig(t)
	r.slot = 500
	l := r.lamp("key-bicolour", "16-bit", "key")
	l.Address.Slot = 511
	l.Address.At = cues.Pos{File: "locations/deep-end.yaml", Line: 9, Column: 3}
	p, problems := compile.Location(r.show, r.loc)
	require.Nil(t, p)
	require.True(t, problems.HasErrors())
	require.Equal(t, cues.CodeAddressOverrun, problems[0].Code)
	require.Equal(t, "locations/deep-end.yaml:9:3", problems[0].Pos.String())
	require.NotEmpty(t, problems[0].Mend)
}

func TestCellsLieAlongTheLamp(t *testing.T) {
	r := newRig(t)
	l := r.lamp("tube-rgbww-4ft", "2-cell", "edge") // 1.15 m, along y
	l.Place = cues.Point{1, 2, 3}
	p := r.place()
	require.InDelta(t, 2-1.15/4, p.Cells[0].Place[1], 1e-9)
	require.InDelta(t, 2+1.15/4, p.Cells[1].Place[1], 1e-9)
	require.Equal(t, []float64{1, 3}, []float64{p.Cells[0].Place[0], p.Cells[0].Place[2]})
}

func TestFloorLightIsKept(t *testing.T) {
	r := newRig(t)
	r.lamp("puck-rgbw", "16-bit", "floor")
	r.lamp("puck-rgbw", "16-bit", "edge")
	r.show.Safety.Floor = cues.FloorLight{On: "floor", Level: 0.1, Colour: cues.Colour{Form: colour.White{CCT: colour.CCT{T: 3200}}}}
	p := r.place()
	lights := make([]colour.XYZ, 2)
	p.Light(p.Frame(p.Dark(), true), lights)
	s := p.Cells[0].Mix().Solve(mustXY(t, colour.White{CCT: colour.CCT{T: 3200}}, p.Balance), 0.1, p.Balance)
	require.InEpsilon(t, s.Lumens, lights[0].Y, 1e-3)
	require.InDelta(t, s.Reached.UV().U, lights[0].XY().UV().U, 5e-4)
	require.Zero(t, lights[1].Y)

	r.show.Safety.Floor.On = "flor"
	p, problems := compile.Location(r.show, r.loc)
	require.NotNil(t, p)
	require.Len(t, problems, 1)
	require.Equal(t, cues.CodeNoFloorLight, problems[0].Code)
	require.Equal(t, cues.Warning, problems[0].Severity)
}

func TestWorkLight(t *testing.T) {
	r := newRig(t)
	r.lamp("puck-rgbw", "16-bit", "floor")
	r.lamp("panel-rgbww", "16-bit", "key")
	work := wire(r.place(), r.place().Work())
	for i, light := range work { // nothing said: every lamp at full balance white
		require.InDelta(t, r.place().Balance.UV().U, light.XY().UV().U, 5e-4, "lamp %d", i)
		require.InEpsilon(t, r.place().Cells[i].Mix().Solve(r.place().Balance, 1, r.place().Balance).Most, light.Y, 1e-3)
	}
	r.show.Safety.Work = cues.WorkLight{On: "key", Level: 0.5}
	p := r.place()
	half := wire(p, p.Work())
	require.Zero(t, half[0].Y)
	require.InEpsilon(t, work[1].Y/2, half[1].Y, 1e-3)
}

func TestLightDoesNotAllocate(t *testing.T) {
	p, from, _, _ := benchPlace(t, 64, false)
	frame := p.Frame(from, true)
	lights := make([]colour.XYZ, len(p.Cells))
	// sync.Pool drops things at random under the race detector.
	require.LessOrEqual(t, testing.AllocsPerRun(200, func() { p.Light(frame, lights) }), 0.5)
}

func mustXY(t *testing.T, f colour.Form, white colour.XY) colour.XY {
	xy, err := f.Chromaticity(white)
	require.NoError(t, err)
	return xy
}
