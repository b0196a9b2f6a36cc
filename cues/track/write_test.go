package track_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

// one is a layout of one universe: an 8-bit slot at 0, a 16-bit one at 2, an
// 8-bit parameter at 5; bytes 1, 4, 6 and 7 belong to nobody.
func one() *track.Layout {
	return &track.Layout{
		Universes: []track.Universe{{Address: 1, Base: []byte{9, 11, 9, 9, 44, 9, 66, 77}}},
		Slots:     []track.Slot{{Offset: 0}, {Offset: 2, Wide: true}, {Offset: 5, Param: true, Safe: 0.2}},
		Curves:    []track.Curve{{}},
	}
}

func TestWriteBytes(t *testing.T) {
	for _, row := range []struct {
		name    string
		still   track.Still
		overall float32
		want    []byte
	}{
		{"all off", track.Still{0, 0, 0}, 1, []byte{0, 11, 0, 0, 44, 0, 66, 77}},
		{"all full", track.Still{1, 1, 1}, 1, []byte{255, 11, 255, 255, 44, 255, 66, 77}},
		{"half goes up", track.Still{0.5, 0.5, 0.5}, 1, []byte{128, 11, 0x80, 0, 44, 128, 66, 77}},
		{"overall leaves parameters alone", track.Still{1, 1, 1}, 0.5, []byte{128, 11, 0x80, 0, 44, 255, 66, 77}},
		{"overall off", track.Still{1, 1, 0.5}, 0, []byte{0, 11, 0, 0, 44, 128, 66, 77}},
		{"what is no number is off", track.Still{float32(math.NaN()), -1, float32(math.Inf(1))}, 1, []byte{0, 11, 0, 0, 44, 255, 66, 77}},
		{"too much is full", track.Still{2, 2, 2}, 1, []byte{255, 11, 255, 255, 44, 255, 66, 77}},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := one()
			require.NoError(t, l.Validate())
			frame := l.NewFrame()
			frame[0][6] = 1 // what nobody controls comes back with every frame
			l.Write(row.still, row.overall, true, frame)
			require.Equal(t, row.want, frame[0])
		})
	}
}

// TestWriteRoundsHalfUp compares with exact rational arithmetic.
func TestWriteRoundsHalfUp(t *testing.T) {
	l := one()
	frame := l.NewFrame()
	exact := func(v float32, full int64) int64 {
		x := new(big.Rat).SetFloat64(float64(v))
		x.Mul(x, big.NewRat(full, 1)).Add(x, big.NewRat(1, 2))
		return new(big.Int).Quo(x.Num(), x.Denom()).Int64()
	}
	check := func(v float32) {
		l.Write(track.Still{v, v, v}, 1, false, frame)
		if want, got := exact(v, 255), int64(frame[0][0]); got != want {
			t.Fatalf("8 bits of %v: got %d, want %d", v, got, want)
		}
		if want, got := exact(v, 65535), int64(frame[0][2])<<8|int64(frame[0][3]); got != want {
			t.Fatalf("16 bits of %v: got %d, want %d", v, got, want)
		}
	}
	for n := 0; n < 65535; n += 3 { // the numbers next to half steps, of both kinds as 3 divides 255
		v := float32((float64(n) + 0.5) / 65535)
		check(math.Nextafter32(v, 0))
		check(v)
		check(math.Nextafter32(v, 1))
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 10000 {
		check(r.Float32())
	}
}

// TestCurves compares tabulated dimmer curves with their formulas, over every
// light from black on; the bound is half a 16-bit step over the rounding itself.
func TestCurves(t *testing.T) {
	for _, row := range []struct {
		name    string
		control func(light float64) float64
		from    float64 // least light that the bound is kept from
	}{
		{"square", math.Sqrt, 0},
		{"gamma 2.2", func(l float64) float64 { return math.Pow(l, 1/2.2) }, 1e-6},
		{"cubic", math.Cbrt, 1e-5},
		{"linear, as a table", func(l float64) float64 { return l * 0.9999999 }, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := track.NewCurve(row.control)
			require.Len(t, c.Table, track.CurvePoints)
			for i := range 100001 {
				light := float32(math.Pow(float64(i)/100000, 3))
				if float64(light) < row.from {
					continue
				}
				require.InDelta(t, row.control(float64(light)), c.Control(light), 0.5/65535, "at light %v", light)
			}
			require.Zero(t, c.Control(0))
			require.Zero(t, c.Control(-1))
			require.Zero(t, c.Control(float32(math.NaN())))
			require.EqualValues(t, 1, c.Control(1))
			require.EqualValues(t, 1, c.Control(2))
		})
	}
	require.Nil(t, track.NewCurve(func(l float64) float64 { return l }).Table, "the identity needs no table")
	odd := track.NewCurve(func(float64) float64 { return 3 })
	require.Zero(t, odd.Control(0), "off is off whatever the function says")
	require.EqualValues(t, 1, odd.Control(0.5), "a control stays within 0..1")
}

func TestWriteThroughCurve(t *testing.T) {
	l := one()
	l.Curves = append(l.Curves, track.NewCurve(math.Sqrt))
	l.Slots[1].Curve = 1
	frame := l.NewFrame()
	l.Write(track.Still{0.25, 0.25, 0.25}, 1, false, frame)
	require.Equal(t, []byte{64, 11, 0x80, 0, 44, 64, 66, 77}, frame[0], "a quarter of the light is half of a square-law control")
	l.Write(track.Still{1, 1, 1}, 0.25, false, frame)
	require.Equal(t, []byte{64, 11, 0x80, 0}, frame[0][:4], "overall scales the light, not the control")
}

// cell is a layout of one cell of three 16-bit emitters with floor light.
func cell() *track.Layout {
	return &track.Layout{
		Universes: []track.Universe{{Base: make([]byte, 6)}},
		Slots:     []track.Slot{{Offset: 0, Wide: true}, {Offset: 2, Wide: true}, {Offset: 4, Wide: true}},
		Curves:    []track.Curve{{}},
		Floor: []track.FloorCell{{First: 0, N: 3, Least: 20,
			Weight: [8]float32{100, 300, 50}, Drive: [8]float32{0.05, 0.05, 0}}},
	}
}

// lumens reads the light back from the wire.
func lumens(l *track.Layout, frame [][]byte) float64 {
	sum := 0.0
	for i := range 3 {
		v := float64(int(frame[0][2*i])<<8|int(frame[0][2*i+1])) / 65535
		sum += v * float64(l.Floor[0].Weight[i])
	}
	return sum
}

// TestFloorKeepsTheLeast: for any state and overall the light on the wire is
// the greater of what was asked and the least, to the rounding of the bytes.
func TestFloorKeepsTheLeast(t *testing.T) {
	l := cell()
	require.NoError(t, l.Validate())
	frame := l.NewFrame()
	const rounding = 0.51 * 450 / 65535 // half a step of each emitter
	r := rand.New(rand.NewPCG(5, 5))
	for range 20000 {
		s, overall, share := randomStill(r, 3), r.Float32(), r.Float32()
		if r.IntN(2) == 0 {
			for i := range s {
				s[i] *= 0.1
			}
		}
		asked := 0.0
		for i, v := range s {
			asked += float64(v) * float64(overall) * float64(l.Floor[0].Weight[i])
		}
		l.WriteFloor(s, overall, share, frame)
		require.InDelta(t, max(asked, 20*float64(share)), lumens(l, frame), rounding, "%v at %v, floor %v", s, overall, share)
		l.Write(s, overall, false, frame)
		require.InDelta(t, asked, lumens(l, frame), rounding)
	}
}

func TestFloorAddsInItsOwnMix(t *testing.T) {
	l := cell()
	frame := l.NewFrame()
	l.Write(track.Still{0, 0, 0.2}, 1, true, frame) // 10 of 20 lm
	got := track.Still{}
	for i := range 3 {
		got = append(got, float32(int(frame[0][2*i])<<8|int(frame[0][2*i+1]))/65535)
	}
	require.InDeltaSlice(t, []float32{0.025, 0.025, 0.2}, []float32(got), 1e-5, "half of the mix comes on top")
}

func TestFloorGoesAsFarAsItsEmittersDo(t *testing.T) {
	l := cell()
	l.Floor[0].Least = 10000
	frame := l.NewFrame()
	l.Write(track.Still{0, 0, 0}, 1, true, frame)
	require.Equal(t, []byte{255, 255, 255, 255, 0, 0}, frame[0])
	l.Floor[0].Drive = [8]float32{}
	l.Write(track.Still{0, 0, 0}, 1, true, frame)
	require.Equal(t, make([]byte, 6), frame[0], "a floor cell without a mix adds nothing")
}

func TestNewStillIsSafe(t *testing.T) {
	require.Equal(t, track.Still{0, 0, 0.2}, one().NewStill())
}

func TestWriteDoesNotAllocate(t *testing.T) {
	l := universes(2, true, []track.Curve{{}, track.NewCurve(math.Sqrt)})
	s, frame := l.NewStill(), l.NewFrame()
	require.Zero(t, testing.AllocsPerRun(100, func() { l.Write(s, 0.5, true, frame) }))
}
