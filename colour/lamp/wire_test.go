package lamp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

// oneCell is a lamp with a slot between its channels that no channel reads.
func oneCell(curve lamp.Curve) (*lamp.Type, *lamp.Mode) {
	m := &lamp.Mode{Name: "m", Cells: 1, Footprint: 6, Curve: curve, Channels: []lamp.Channel{
		{Offset: 0, Bits: 8, Name: "red", Emitter: 0},
		{Offset: 2, Bits: 16, Name: "green", Emitter: 1},
		{Offset: 4, Bits: 8, Name: "fan", Cell: -1, Emitter: -1, Param: &lamp.Param{Name: "fan", Unit: "%", Max: 100, Safe: 40}},
		{Offset: 5, Bits: 8, Name: "dimmer", Cell: -1, Emitter: -1, Param: &lamp.Param{Name: lamp.Dimmer, Unit: "%", Max: 100, Safe: 100}},
	}}
	return &lamp.Type{Name: "one", Cells: 1, Emitters: make([]lamp.Emitter, 2), Modes: []*lamp.Mode{m}}, m
}

// Slot by slot: 8 bits count to 255, 16 to 65535 with the coarse slot first (ANSI E1.11
// sends 8-bit slots; two of them for one value is common practice, no source).
func TestEncodeBytes(t *testing.T) {
	for _, row := range []struct {
		name       string
		curve      lamp.Curve
		red, green float64
		params     map[string]float64
		want       []byte
	}{
		{"dark, safe parameters", "linear", 0, 0, nil, []byte{0, 0, 0x00, 0x00, 102, 255}},
		{"full", "linear", 1, 1, nil, []byte{255, 0, 0xff, 0xff, 102, 255}},
		{"half rounds to the nearest", "linear", 0.5, 0.5, nil, []byte{128, 0, 0x80, 0x00, 102, 255}},
		{"one fine step", "linear", 1.0 / 255, 1.0 / 65535, nil, []byte{1, 0, 0x00, 0x01, 102, 255}},
		{"square law undone: a quarter of the light is half control", "square", 0.25, 0.25, nil, []byte{128, 0, 0x80, 0x00, 102, 255}},
		{"out of range is held", "linear", -1, 3, nil, []byte{0, 0, 0xff, 0xff, 102, 255}},
		{"not a number is dark", "linear", math.NaN(), math.Inf(1), nil, []byte{0, 0, 0xff, 0xff, 102, 255}},
		{"parameters in their unit", "linear", 0, 0, map[string]float64{"fan": 100, "dimmer": 0, "tilt": 7}, []byte{0, 0, 0, 0, 255, 0}},
		{"parameters are held", "linear", 0, 0, map[string]float64{"fan": -3, "dimmer": 1e9}, []byte{0, 0, 0, 0, 0, 255}},
		{"a parameter that is no number is safe", "linear", 0, 0, map[string]float64{"fan": math.NaN()}, []byte{0, 0, 0, 0, 102, 255}},
	} {
		t.Run(row.name, func(t *testing.T) {
			typ, m := oneCell(row.curve)
			dst := []byte{9, 9, 9, 9, 9, 9, 77}
			m.Encode(typ, []emitters.Drives{{row.red, row.green}}, row.params, dst)
			require.Equal(t, append(row.want, 77), dst, "the slot past the footprint must stay")
		})
	}
}

func TestEncodeMissingCellsAreDark(t *testing.T) {
	typ, m := build(t, "rgb", 2, 8, "linear")
	dst := make([]byte, m.Footprint)
	m.Encode(typ, []emitters.Drives{{1, 1, 1}}, nil, dst)
	require.Equal(t, []byte{255, 255, 255, 0, 0, 0}, dst[3:])
	require.Panics(t, func() { m.Encode(typ, nil, nil, dst[:m.Footprint-1]) })
}

func TestDecodeBytes(t *testing.T) {
	typ, m := oneCell("square")
	got := []emitters.Drives{{9, 9, 9}, {9, 9, 9}}
	m.Decode(typ, []byte{255, 200, 0x80, 0x00, 102, 255}, got)
	half := 32768.0 / 65535
	require.Equal(t, []emitters.Drives{{1, half * half}, {}}, got, "entries past the mode's cells are dark")
	m.Decode(typ, []byte{255, 200, 0x80, 0x00, 102, 51}, got) // the dimmer at a fifth
	require.InDeltaSlice(t, []float64{0.2, 0.2 * half * half}, got[0][:2], 1e-15)
	m.Decode(typ, []byte{255, 0, 0x80}, got) // cut off: no dimmer, so no light
	require.Equal(t, make([]emitters.Drives, 2), got)
	m.Decode(typ, nil, nil)
}

// There and back: 16-bit drives return within half a step of the curve, and bytes return
// exactly.
func TestEncodeDecodeRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for mix := range mixes {
		for _, curve := range curves() {
			for _, bits := range []int{8, 16} {
				typ, m := build(t, mix, 8, bits, curve)
				law, err := emitters.CurveByName(string(curve))
				require.NoError(t, err)
				half := 0.5 / float64(uint(1)<<bits-1)
				drives, back := make([]emitters.Drives, 8), make([]emitters.Drives, 8)
				bytes, again := make([]byte, m.Footprint), make([]byte, m.Footprint)
				for range 50 {
					for cell := range drives {
						for e := range typ.Emitters {
							drives[cell][e] = math.Pow(r.Float64(), 3)
						}
					}
					m.Encode(typ, drives, nil, bytes)
					m.Decode(typ, bytes, back)
					for cell := range drives {
						for e := range typ.Emitters {
							x := law.Control(drives[cell][e])
							require.GreaterOrEqual(t, back[cell][e], law.Light(x-half)-1e-12)
							require.LessOrEqual(t, back[cell][e], law.Light(x+half)+1e-12)
						}
					}
					m.Encode(typ, back, nil, again)
					require.Equal(t, bytes, again, "%s, %s, %d bits", mix, curve, bits)
				}
			}
		}
	}
}

// FuzzDecode: any bytes decode to drives 0..1, and with the dimmer at full those encode
// to the same bytes.
func FuzzDecode(f *testing.F) {
	for i := range 8 {
		f.Add(byte(i), []byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 255, 128, 0, 255, 255, 0, 1})
	}
	f.Add(byte(0), []byte{})
	type combo struct {
		t *lamp.Type
		m *lamp.Mode
	}
	var combos []combo
	for _, curve := range curves() {
		for _, bits := range []int{8, 16} {
			typ, m := build(f, "rgbw", 4, bits, curve)
			combos = append(combos, combo{typ, m})
		}
	}
	f.Fuzz(func(t *testing.T, which byte, src []byte) {
		c := combos[int(which)%len(combos)]
		drives := make([]emitters.Drives, c.m.Cells)
		c.m.Decode(c.t, src, drives)
		for _, d := range drives {
			for e, v := range d {
				require.True(t, v >= 0 && v <= 1 && (e < len(c.t.Emitters) || v == 0))
			}
		}
		whole := make([]byte, c.m.Footprint)
		copy(whole, src)
		whole[0] = 255
		c.m.Decode(c.t, whole, drives)
		strobe := c.m.Channels[1].Param
		params := map[string]float64{"strobe": strobe.Value(float64(uint16(whole[1])<<8|uint16(whole[2])) / 65535)}
		again := make([]byte, c.m.Footprint)
		c.m.Encode(c.t, drives, params, again)
		require.Equal(t, whole, again)
	})
}

func TestParamShare(t *testing.T) {
	p := &lamp.Param{Name: "tilt", Unit: "deg", Min: -90, Max: 90, Safe: 0}
	for value, share := range map[float64]float64{-90: 0, 0: 0.5, 45: 0.75, 90: 1} {
		require.InDelta(t, share, p.Share(value), 1e-15)
		require.InDelta(t, value, p.Value(share), 1e-12)
	}
	require.Zero(t, p.Share(-1000))
	require.Equal(t, 1.0, p.Share(math.Inf(1)))
	require.Equal(t, 0.5, p.Share(math.NaN()))
	require.Equal(t, 90.0, p.Value(2))
	require.Zero(t, (&lamp.Param{Min: 1, Max: 1}).Share(1))
}
