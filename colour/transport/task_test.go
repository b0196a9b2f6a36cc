package transport_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// everything is a place with each kind of surface, finish, source and beam.
func everything(t testing.TB) *transport.Place {
	p := &transport.Place{Pieces: crate(t, vec{X: 1, Y: 1}, vec{X: 0.7, Y: 0.7, Z: 0.5}, 0.4)}
	add := func(s solid.Surface, err error) {
		require.NoError(t, err)
		p.Pieces = append(p.Pieces, transport.Piece{Surface: s, Finish: transport.Finish{R: 0.5, G: 0.25, B: 0.1}, Other: -1})
	}
	add(solid.NewTriangle(vec{X: 3}, vec{X: 1}, vec{Z: 1}))
	add(solid.NewDisc(vec{X: 3, Y: 1}, vec{Y: 0.6, Z: 0.8}, 0.3))
	add(solid.NewTube(vec{X: 4}, vec{Z: 1.8}, 0.25))
	add(solid.NewBall(vec{X: 4, Z: 2}, 0.12))
	sheet, err := solid.NewRectangle(vec{Y: 4}, vec{X: 5}, vec{Z: 2})
	require.NoError(t, err)
	n := len(p.Pieces)
	p.Pieces = append(p.Pieces, transport.Piece{Surface: sheet, Finish: transport.Grey(0.7), Other: n + 1},
		transport.Piece{Surface: sheet.Flipped(), Finish: transport.Grey(0.2), Other: n})
	p.Sources = []transport.Source{
		{Centre: vec{X: 2, Z: 1}, Along: vec{X: 1.15 / 8}},
		{Centre: vec{Y: -2, Z: 1}, Along: vec{X: 0.3}, Across: vec{Z: 0.2}, Facing: vec{Y: 1}, Beam: transport.Lambert{}},
		{Centre: vec{Y: -3, Z: 2}, Facing: vec{Y: 0.8, Z: -0.6}, Beam: optics(t, 25, 45)},
		{Centre: vec{Y: -3, Z: 2}, Facing: vec{Y: 0.8, Z: -0.6}, Beam: optics(t, 25, 45), Mask: &transport.Mask{
			Wide: 3, High: 2, Pass: []byte{255, 128, 0, 9, 99, 199}, Right: vec{X: 1}, Up: vec{Y: 0.6, Z: 0.8}, HalfX: 0.375, HalfY: 0.25,
		}},
	}
	return p
}

func optics(t testing.TB, beam, field float64) transport.Optics {
	b, err := photometry.NewBeamField(1, photometry.Degrees(beam), photometry.Degrees(field))
	require.NoError(t, err)
	return transport.Optics{Peak: float64(b.Peak), Power: b.Exponent(), Shape: b.Shape()}
}

// The beam of three numbers is that of colour/photometry, which is tested against
// handbooks.
func TestOpticsAreThoseOfPhotometry(t *testing.T) {
	for _, c := range [][2]float64{{25, 45}, {30, 53.9}, {10, 14}, {60, 100}, {90, 150}} {
		b, err := photometry.NewBeamField(1, photometry.Degrees(c[0]), photometry.Degrees(c[1]))
		require.NoError(t, err)
		o := optics(t, c[0], c[1])
		for deg := 0.0; deg < 90; deg++ {
			cos := math.Cos(deg * math.Pi / 180)
			require.Equal(t, float64(b.At(cos)), o.PerLumen(cos))
		}
	}
}

// What is read is what was written, to a thousand-millionth of a metre and seven
// figures, and light computed from it is the same.
func TestTaskKeepsThePlace(t *testing.T) {
	p := everything(t)
	o := transport.Options{Texels: 500, Rays: 16, Bounces: 3}
	b, err := transport.Task{Place: p, Options: o}.AppendBinary(nil)
	require.NoError(t, err)
	got, err := transport.ParseTask(b)
	require.NoError(t, err)
	require.Equal(t, o, got.Options)
	require.Len(t, got.Place.Pieces, len(p.Pieces))
	for i := range p.Pieces {
		want, is := p.Pieces[i].Surface.Form(), got.Place.Pieces[i].Surface.Form()
		require.Equal(t, want.Shape, is.Shape)
		require.InDelta(t, 0, want.At.Sub(is.At).Length()+want.U.Sub(is.U).Length()+want.V.Sub(is.V).Length(), 3e-9)
		require.InDelta(t, want.Radius, is.Radius, 1e-9)
		require.Equal(t, p.Pieces[i].Other, got.Place.Pieces[i].Other)
		require.InDelta(t, p.Pieces[i].Finish.R, got.Place.Pieces[i].Finish.R, 1e-7)
	}
	for i := range p.Sources {
		require.InDelta(t, 0, p.Sources[i].Centre.Sub(got.Place.Sources[i].Centre).Length(), 2e-9)
		require.IsType(t, p.Sources[i].Beam, got.Place.Sources[i].Beam)
		require.Equal(t, p.Sources[i].Mask, got.Place.Sources[i].Mask)
	}
	want, err := transport.Compute(context.Background(), p, o)
	require.NoError(t, err)
	is, err := transport.Compute(context.Background(), got.Place, o)
	require.NoError(t, err)
	require.Equal(t, want.Atlas, is.Atlas)
	for k := range p.Sources {
		for i := range p.Pieces {
			require.InDelta(t, flux(p, want, k, i), flux(got.Place, is, k, i), 1e-4)
		}
	}
}

// The key is the SHA-256 of the form, so anything that changes the light changes it,
// and what does not, does not: the last digits of a rounding, or that a default was
// written out.
func TestKey(t *testing.T) {
	key := func(p *transport.Place, o transport.Options) string {
		b, err := transport.Task{Place: p, Options: o}.AppendBinary(nil)
		require.NoError(t, err)
		sum := sha256.Sum256(b)
		require.Equal(t, hex.EncodeToString(sum[:16]), transport.Key(b))
		return transport.Key(b)
	}
	first := key(everything(t), transport.Options{})
	require.Equal(t, first, key(everything(t), transport.Options{Texels: 12_000, Rays: 192, Bounces: 40, Workers: 3}))

	same := everything(t)
	same.Sources[0].Along.X = math.Nextafter(same.Sources[0].Along.X, 1)
	require.Equal(t, first, key(same, transport.Options{}), "another rounding")

	changes := map[string]func(p *transport.Place){
		"a finish":  func(p *transport.Place) { p.Pieces[0].Finish.B = 0.41 },
		"a side":    func(p *transport.Place) { p.Pieces[0].Other = 3 },
		"a surface": func(p *transport.Place) { p.Pieces = p.Pieces[:len(p.Pieces)-1]; p.Pieces[len(p.Pieces)-1].Other = -1 },
		"a place":   func(p *transport.Place) { p.Sources[0].Centre.Z += 1e-6 },
		"a beam":    func(p *transport.Place) { p.Sources[2].Beam = optics(t, 25, 46) },
		"a kind":    func(p *transport.Place) { p.Sources[2].Beam = transport.Lambert{} },
		"a mask":    func(p *transport.Place) { p.Sources[3].Mask.Pass[2] = 1 },
		"no mask":   func(p *transport.Place) { p.Sources[3].Mask = nil },
		"an order":  func(p *transport.Place) { p.Sources[0], p.Sources[1] = p.Sources[1], p.Sources[0] },
	}
	for what, change := range changes {
		p := everything(t)
		change(p)
		require.NotEqual(t, first, key(p, transport.Options{}), what)
	}
	require.NotEqual(t, first, key(everything(t), transport.Options{Rays: 129}))
}

// otherBeam has no encoded form.
type otherBeam struct{}

func (otherBeam) PerLumen(float64) float64 { return 1 }

func TestTaskRefuses(t *testing.T) {
	for what, change := range map[string]func(p *transport.Place){
		"a beam unknown": func(p *transport.Place) { p.Sources[1].Beam = otherBeam{} },
		"a far place":    func(p *transport.Place) { p.Sources[1].Centre.X = 1e7 },
		"a crooked mask": func(p *transport.Place) { p.Sources[3].Mask.Up = vec{Z: 1} },
		"a short mask":   func(p *transport.Place) { p.Sources[3].Mask.Pass = nil },
		"a mask around":  func(p *transport.Place) { p.Sources[0].Mask = p.Sources[3].Mask },
		"too white":      func(p *transport.Place) { p.Pieces[1].Finish.R = 1.1 },
	} {
		p := everything(t)
		change(p)
		_, err := transport.Task{Place: p}.AppendBinary(nil)
		require.Error(t, err, what)
	}
	b, err := transport.Task{Place: everything(t)}.AppendBinary(nil)
	require.NoError(t, err)
	for n := range b {
		_, err := transport.ParseTask(b[:n])
		require.ErrorIs(t, err, transport.ErrTask, "cut at %d", n)
	}
	_, err = transport.ParseTask(append(b, 0))
	require.ErrorIs(t, err, transport.ErrTask)
}

// FuzzTask: whatever is read is written again byte for byte.
func FuzzTask(f *testing.F) {
	b, err := transport.Task{Place: everything(f), Options: transport.Options{Texels: 300}}.AppendBinary(nil)
	require.NoError(f, err)
	f.Add(b)
	f.Add(b[:40])
	f.Fuzz(func(t *testing.T, b []byte) {
		task, err := transport.ParseTask(b)
		if err != nil {
			require.ErrorIs(t, err, transport.ErrTask)
			return
		}
		again, err := task.AppendBinary(nil)
		require.NoError(t, err)
		require.Equal(t, b, again)
	})
}
