package track_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

// saw goes from rest to the far end in eight entries.
func saw() track.Source {
	s := track.Source{Period: time.Second}
	for i := range uint16(8) {
		s.Table = append(s.Table, i*(track.Whole/8))
	}
	return s
}

func TestSourceCycle(t *testing.T) {
	s := track.Source{Period: 3 * time.Second}
	for _, row := range []struct {
		at   time.Duration
		want uint32
	}{
		{0, 0}, {-time.Second, 0}, {1500 * time.Millisecond, 1 << 31}, {3 * time.Second, 0}, {3750 * time.Millisecond, 1 << 30},
		{time.Second, 1431655765}, // 2^32/3, rounded down
		{100*time.Hour + 750*time.Millisecond, 1 << 30},
	} {
		require.Equal(t, row.want, s.Cycle(row.at), row.at)
	}
	// No drift: after a thousand hours of a third of a second the place is still exact.
	s.Period = time.Second / 3 // 333 333 333 ns
	require.Zero(t, s.Cycle(time.Duration(s.Period)*10_800_000))
}

func TestSourceAt(t *testing.T) {
	s := saw()
	require.Equal(t, 0.0, s.At(0))
	require.Equal(t, 0.125, s.At(1<<29))
	require.Equal(t, 0.0625, s.At(1<<28), "straight between entries")
	require.Equal(t, 0.4375, s.At(7<<29+1<<28), "and from the last to the first")
	s.Steps = true
	require.Equal(t, 0.0, s.At(1<<29-1))
	require.Equal(t, 0.125, s.At(1<<29))
}

// two is a motion of two cells of two slots: one straight, half a period behind
// the other, which goes through a knot.
func two() *track.Motion {
	return &track.Motion{
		Sources: []track.Source{{Period: time.Second, Table: []uint16{0, track.Whole}}}, // up in one half, down in the other
		Times:   []float32{0.5},
		Values: []float32{
			0.8, 0.4, 0.2, 0.1, // rest and far end
			0.6, 0.2, 0.5, 0.5, 0.2, 0.6, // rest, a knot, far end
		},
		Cells: []track.Moving{
			{First: 0, N: 2},
			{First: 4, N: 2, Phase: 1 << 31, Knots: 1, ValueAt: 4},
		},
	}
}

func TestMotionMovesCellsThatRest(t *testing.T) {
	m := two()
	require.NoError(t, m.Validate(6))
	still := track.Still{0.8, 0.4, 0.3, 0.3, 0.6, 0.2}
	for _, row := range []struct {
		at   time.Duration
		want track.Still
	}{
		{0, track.Still{0.8, 0.4, 0.3, 0.3, 0.2, 0.6}},
		{125 * time.Millisecond, track.Still{0.65, 0.325, 0.3, 0.3, 0.35, 0.55}},
		{250 * time.Millisecond, track.Still{0.5, 0.25, 0.3, 0.3, 0.5, 0.5}},
		{500 * time.Millisecond, track.Still{0.2, 0.1, 0.3, 0.3, 0.6, 0.2}},
		{750 * time.Millisecond, track.Still{0.5, 0.25, 0.3, 0.3, 0.5, 0.5}},
	} {
		left, dst := append(track.Still{}, still...), append(track.Still{}, still...)
		m.Apply(row.at, nil, left, dst)
		require.InDeltaSlice(t, row.want, dst, 1e-6, row.at)
		require.Equal(t, track.Still{0, 0, 0.3, 0.3, 0, 0}, left, "what moves is taken")
		at := append(track.Still{}, still...)
		m.At(row.at, at)
		require.InDeltaSlice(t, row.want, at, 1e-6)
	}
}

// In a fade only so much of a cell moves as is of its rest: a fade from the dark
// is its movement, dimmed, and what is there of another colour stands still.
func TestMotionMovesWhatIsThere(t *testing.T) {
	m := two()
	far := 500 * time.Millisecond
	for _, row := range []struct {
		name               string
		amount             float32
		still, want, share track.Still
	}{
		{"dimmed", 1, track.Still{0.2, 0.1, 0, 0, 0, 0}, track.Still{0.05, 0.025, 0, 0, 0, 0}, track.Still{0.25, 0, 0, 0, 0, 0}},
		{"half in", 0.5, track.Still{0.8, 0.4, 0, 0, 0, 0}, track.Still{0.5, 0.25, 0, 0, 0, 0}, track.Still{0.5, 0, 0, 0, 0, 0}},
		{"half in and dimmed", 0.5, track.Still{0.2, 0.1, 0, 0, 0, 0}, track.Still{0.05, 0.025, 0, 0, 0, 0}, track.Still{0.25, 0, 0, 0, 0, 0}},
		{"of another colour", 1, track.Still{0.8, 0, 0, 0, 0, 0}, track.Still{0.8, 0, 0, 0, 0, 0}, track.Still{0, 0, 0, 0, 0, 0}},
		{"mixed with another", 1, track.Still{1, 0.2, 0, 0, 0, 0}, track.Still{0.7, 0.05, 0, 0, 0, 0}, track.Still{0.5, 0, 0, 0, 0, 0}},
	} {
		amount := track.Still{row.amount, 0, 0, 0, 0, 0}
		left, dst := append(track.Still{}, row.still...), append(track.Still{}, row.still...)
		m.Apply(far, amount, left, dst)
		require.InDeltaSlice(t, row.want, dst, 1e-6, row.name)
		require.InDeltaSlice(t, row.share, amount, 1e-6, row.name)
	}
}

// TestMotionStaysWithinPower: whatever is on and however much of two movements
// there is, no value gets below dark, and none of those that only dim above
// what it was.
func TestMotionStaysWithinPower(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		n := 1 + r.IntN(5)
		motion := func() *track.Motion {
			m := &track.Motion{Sources: []track.Source{saw()}, Cells: []track.Moving{{N: int32(n), Phase: r.Uint32()}}}
			dim := r.Float32()
			for range n {
				m.Values = append(m.Values, r.Float32())
			}
			for k := range n {
				m.Values = append(m.Values, m.Values[k]*dim)
			}
			return m
		}
		still := make(track.Still, n)
		for i := range still {
			still[i] = r.Float32()
		}
		left, dst := append(track.Still{}, still...), append(track.Still{}, still...)
		for range 2 {
			m := motion()
			require.NoError(t, m.Validate(n))
			amount := make(track.Still, n)
			amount[0] = r.Float32()
			asked := amount[0]
			m.Apply(time.Duration(r.Int64N(1e10)), amount, left, dst)
			require.True(t, amount[0] >= 0 && amount[0] <= asked)
		}
		for i := range dst {
			require.True(t, dst[i] > -1e-6 && dst[i] <= still[i]+1e-6, "%v of %v", dst, still)
		}
	}
}

func TestMotionDoesNotAllocate(t *testing.T) {
	m := two()
	still, left := make(track.Still, 6), make(track.Still, 6)
	require.Zero(t, testing.AllocsPerRun(100, func() { m.Apply(time.Second/3, nil, left, still) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { m.At(time.Second/3, still) }))
}

func TestMotionValidate(t *testing.T) {
	require.NoError(t, (*track.Motion)(nil).Validate(3), "no movement is sound")
	for _, row := range []struct {
		change func(m *track.Motion)
		says   string
	}{
		{func(m *track.Motion) { m.Sources[0].Table = make([]uint16, 3) }, "a table of 3 entries"},
		{func(m *track.Motion) { m.Sources[0].Table = nil }, "a table of 0 entries"},
		{func(m *track.Motion) { m.Sources[0].Table[1] = track.Whole + 1 }, "entry 1 is 32769"},
		{func(m *track.Motion) { m.Sources[0].Period = 0 }, "a period of 0s"},
		{func(m *track.Motion) { m.Cells[1].Source = 1 }, "source 1 of 1"},
		{func(m *track.Motion) { m.Cells[1].First = 5 }, "slots 5+2 of 6"},
		{func(m *track.Motion) { m.Cells[1].First = 1 }, "slot 1 is in another one too"},
		{func(m *track.Motion) { m.Cells[1].Knots = 2 }, "knot times 0+2 of 1"},
		{func(m *track.Motion) { m.Cells[1].ValueAt = 6 }, "knot values 6+6 of 10"},
		{func(m *track.Motion) { m.Times[0] = 1.5 }, "knot 0 is at 1.5"},
		{func(m *track.Motion) { m.Values[3] = -1 }, "knot value 3 is -1"},
		{func(m *track.Motion) { m.Values[3] = float32(math.NaN()) }, "knot value 3 is NaN"},
	} {
		m := two()
		row.change(m)
		require.ErrorContains(t, m.Validate(6), row.says)
	}
}

func TestFadeDone(t *testing.T) {
	f := &track.Fade{
		From: make(track.Still, 4), To: track.Still{1, 1, 0, 0}, Total: time.Second,
		Moves: []track.Move{{First: 0, N: 1, Length: 0.5}, {First: 1, N: 1, Start: 0.5, Length: 0.5, Curve: track.In}},
	}
	done := make(track.Still, 4)
	f.Done(0.75, done)
	require.Equal(t, track.Still{1, 0.25, 0.75, 0.75}, done)
	f.Idle = track.Move{Start: 0.5, Length: 0.5}
	f.Done(0.75, done)
	require.Equal(t, track.Still{1, 0.25, 0.5, 0.5}, done)
	f.Done(0, done)
	require.Equal(t, track.Still{0, 0, 0, 0}, done)
	f.Done(1, done)
	require.Equal(t, track.Still{1, 1, 1, 1}, done)
}

// A passage begins in the movement of the one look and ends in that of the other.
func TestPassage(t *testing.T) {
	out, in := two(), two()
	in.Values = append([]float32{0.4, 0.4, 0.1, 0.1}, in.Values[4:]...)
	from, to := track.Still{0.8, 0.4, 0.3, 0.3, 0.6, 0.2}, track.Still{0.4, 0.4, 0, 0, 0.6, 0.2}
	f := &track.Fade{From: from, To: to, Total: time.Second, Moves: []track.Move{{N: 4, Length: 1}}}
	p := &track.Passage{Fade: f, Out: out, In: in}
	lead := time.Second / 4
	got := make(track.Still, 6)
	for _, elapsed := range []time.Duration{-lead, -time.Millisecond, 0} {
		want := append(track.Still{}, from...)
		out.At(elapsed+lead, want)
		p.At(elapsed, lead, got)
		require.InDeltaSlice(t, want, got, 1e-6, elapsed)
	}
	for _, elapsed := range []time.Duration{time.Second, 1234 * time.Millisecond, time.Minute} {
		want := append(track.Still{}, to...)
		in.At(elapsed, want)
		p.At(elapsed, lead, got)
		require.InDeltaSlice(t, want, got, 1e-6, elapsed)
	}
	before := make(track.Still, 6)
	p.At(-lead, lead, before)
	for elapsed := -lead; elapsed < 2*time.Second; elapsed += time.Millisecond {
		p.At(elapsed, lead, got)
		require.InDeltaSlice(t, before, got, 0.004, "no jump at %v", elapsed)
		copy(before, got)
	}
	snap := &track.Passage{Fade: &track.Fade{From: from, To: to}}
	snap.At(-1, 0, got)
	require.Equal(t, from, got)
	snap.At(0, 0, got)
	require.Equal(t, to, got)
}

// BenchmarkMotion is a frame with movement on every cell: what the generator
// and the blend cost for each cell of five 16-bit values, and how many times as
// long a frame takes as one that only writes such a still.
func BenchmarkMotion(b *testing.B) {
	for _, kind := range []struct {
		name   string
		knots  int
		fading bool
	}{{"level", 0, false}, {"colours of 8 knots", 8, false}, {"level in a fade", 0, true}} {
		b.Run(kind.name, func(b *testing.B) {
			l := universes(64, true, []track.Curve{{}})
			r := rand.New(rand.NewPCG(1, 1))
			m := everyCell(r, len(l.Slots), kind.knots)
			still := make(track.Still, len(l.Slots))
			for _, c := range m.Cells {
				copy(still[c.First:c.First+c.N], m.Values[c.ValueAt:])
			}
			left, dst, amount := make(track.Still, len(still)), make(track.Still, len(still)), (track.Still)(nil)
			if kind.fading {
				amount = make(track.Still, len(still))
			}
			w := track.NewWriter(l)
			var ofStills, ofMotion time.Duration // taken in turn, as the machine may be busy with other things
			elapsed, times := time.Duration(0), 0
			b.ReportAllocs()
			for b.Loop() {
				begun := time.Now()
				copy(dst, still)
				w.Write(dst, 0.8, 1) // another overall, so that every value is written anew
				between := time.Now()
				elapsed += time.Second / 44
				copy(left, still)
				copy(dst, still)
				for i := range amount {
					amount[i] = 0.5
				}
				m.Apply(elapsed, amount, left, dst)
				w.Write(dst, 0.9, 1)
				ofStills += between.Sub(begun)
				ofMotion += time.Since(between)
				times++
			}
			cells := float64(len(m.Cells) * times)
			b.ReportMetric(float64(ofMotion)/float64(ofStills), "stills/op")
			b.ReportMetric(float64(ofMotion-ofStills)/cells, "ns-more/cell")
			b.ReportMetric(float64(ofStills)/cells, "ns-still/cell")
		})
	}
}

// everyCell is a motion of all slots in cells of five.
func everyCell(r *rand.Rand, n, knots int) *track.Motion {
	s := track.Source{Period: 4 * time.Second}
	for i := range uint16(4096) {
		s.Table = append(s.Table, i*8)
	}
	m := &track.Motion{Sources: []track.Source{s}}
	for k := range knots {
		m.Times = append(m.Times, float32(k+1)/float32(knots+1))
	}
	for first := 0; first < n; first += 5 {
		c := track.Moving{First: int32(first), N: int32(min(5, n-first)), Phase: r.Uint32(), Knots: int32(knots), ValueAt: int32(len(m.Values))}
		for range int(c.N) * (knots + 2) {
			m.Values = append(m.Values, r.Float32())
		}
		m.Cells = append(m.Cells, c)
	}
	return m
}
