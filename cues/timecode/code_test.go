package timecode_test

import (
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/timecode"
)

var rates = []timecode.Rate{timecode.Film, timecode.EBU, timecode.DropFrame, timecode.SMPTE}

func code(t testing.TB, r timecode.Rate, h, m, s, f int) timecode.Code {
	t.Helper()
	c, err := timecode.New(r, h, m, s, f)
	require.NoError(t, err)
	return c
}

// TestDropFrameCounts: the facts of SMPTE ST 12-1, drop-frame compensated mode:
// 1800 labels a minute less 2, but for each tenth, so 17982 frames in ten minutes,
// 107892 in an hour and 2589408 in a day.
func TestDropFrameCounts(t *testing.T) {
	df := timecode.DropFrame
	for _, row := range []struct {
		h, m, s, f int
		frame      int64
		text       string
	}{
		{0, 0, 0, 0, 0, "00:00:00;00"},
		{0, 0, 59, 29, 1799, "00:00:59;29"},
		{0, 1, 0, 2, 1800, "00:01:00;02"},
		{0, 1, 59, 29, 3597, "00:01:59;29"},
		{0, 2, 0, 2, 3598, "00:02:00;02"},
		{0, 9, 59, 29, 17981, "00:09:59;29"},
		{0, 10, 0, 0, 17982, "00:10:00;00"},
		{0, 10, 0, 1, 17983, "00:10:00;01"},
		{0, 11, 0, 2, 17982 + 1800, "00:11:00;02"},
		{1, 0, 0, 0, 107892, "01:00:00;00"},
		{10, 0, 0, 0, 1078920, "10:00:00;00"},
		{23, 59, 59, 29, 2589407, "23:59:59;29"},
	} {
		c := code(t, df, row.h, row.m, row.s, row.f)
		require.Equal(t, row.frame, c.Frame(), row.text)
		require.Equal(t, row.text, c.String())
		require.Equal(t, c, timecode.At(df, row.frame))
	}
	require.Equal(t, int64(2589408), df.Day())
	for _, l := range [][4]int{{0, 1, 0, 0}, {0, 1, 0, 1}, {23, 59, 0, 1}} {
		_, err := timecode.New(df, l[0], l[1], l[2], l[3])
		require.ErrorContains(t, err, "drop-frame leaves out")
	}
	// By the clock on the wall drop-frame is 86.4 ms short in a day (SMPTE ST 12-1).
	require.Equal(t, 24*time.Hour-86400*time.Microsecond, df.Span(df.Day()))
}

// TestEveryFrameOfADay: the labels of a day, written out one after the other with
// nothing but the rule of which are left out, are those of the arithmetic.
func TestEveryFrameOfADay(t *testing.T) {
	for _, r := range rates {
		n := int64(0)
		for h := range 24 {
			for m := range 60 {
				for s := range 60 {
					for f := range int(r.Labels()) {
						if r == timecode.DropFrame && s == 0 && f < 2 && m%10 != 0 {
							continue
						}
						c := timecode.At(r, n)
						if gh, gm, gs, gf := c.Fields(); gh != h || gm != m || gs != s || gf != f {
							t.Fatalf("frame %d at %v is %v, want %02d:%02d:%02d:%02d", n, r, c, h, m, s, f)
						}
						if back, err := timecode.New(r, h, m, s, f); err != nil || back != c {
							t.Fatalf("%02d:%02d:%02d:%02d at %v is frame %d, want %d (%v)", h, m, s, f, r, back.Frame(), n, err)
						}
						n++
					}
				}
			}
		}
		require.Equal(t, r.Day(), n)
	}
}

// TestSpanIsExact compares with rational arithmetic, both ways.
func TestSpanIsExact(t *testing.T) {
	exact := map[timecode.Rate]*big.Rat{
		timecode.Film: big.NewRat(1, 24), timecode.EBU: big.NewRat(1, 25),
		timecode.DropFrame: big.NewRat(1001, 30000), timecode.SMPTE: big.NewRat(1, 30),
	}
	for r, frame := range exact {
		for n := int64(0); n <= r.Day(); n += 97 {
			ns := new(big.Rat).Mul(frame, big.NewRat(n*int64(time.Second), 1))
			want := new(big.Int).Quo(ns.Num(), ns.Denom()).Int64()
			if got := r.Span(n); int64(got) != want {
				t.Fatalf("%d frames at %v take %d ns, want %d", n, r, got, want)
			}
			if got := r.Index(r.Span(n)); got != n {
				t.Fatalf("frame %d at %v begins at %v, where frame %d is", n, r, r.Span(n), got)
			}
			if n > 0 && r.Index(r.Span(n)-1) != n-1 {
				t.Fatalf("frame %d at %v is there before it begins", n, r)
			}
		}
	}
}

func TestCodeGoesRoundTheDay(t *testing.T) {
	for _, r := range rates {
		midnight := timecode.At(r, 0)
		require.Equal(t, r.Day()-1, midnight.Add(-1).Frame())
		require.Equal(t, midnight, midnight.Add(-1).Add(1))
		require.EqualValues(t, 1, midnight.Sub(midnight.Add(-1)))
		require.EqualValues(t, -1, midnight.Add(-1).Sub(midnight))
		require.EqualValues(t, 5, midnight.Add(5).Sub(midnight))
		require.Equal(t, midnight, timecode.At(r, 3*r.Day()))
	}
	require.True(t, timecode.At(timecode.NoRate, 5).IsZero())
	require.Empty(t, timecode.Code{}.String())
	require.Zero(t, timecode.Code{}.Time())
}

func TestForTimeline(t *testing.T) {
	for fps, want := range map[float64]timecode.Rate{
		24: timecode.Film, 23.976: timecode.Film, 25: timecode.EBU, 29.97: timecode.SMPTE, 30: timecode.SMPTE,
		48: timecode.Film, 50: timecode.EBU, 59.94: timecode.SMPTE, 60: timecode.SMPTE,
		18: timecode.NoRate, 26: timecode.NoRate, 0: timecode.NoRate, 100: timecode.NoRate, 24.5: timecode.NoRate,
	} {
		require.Equal(t, want, timecode.ForTimeline(fps), "%v fps", fps)
	}
}

func TestRateNames(t *testing.T) {
	require.Equal(t, "24 frames a second", timecode.Film.String())
	require.Equal(t, "29.97 frames a second, drop-frame", timecode.DropFrame.String())
	require.Equal(t, "no frame rate", timecode.NoRate.String())
}

// FuzzParse: what is read is written again as it was, and read again the same.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"01:00:12:08", "01:00:12;08", "00:01:00;00", "23:59:59:29", "1:2:3:4", "", "00:00:00:24", "ä0:00:00:00"} {
		f.Add(seed, uint8(1))
	}
	f.Fuzz(func(t *testing.T, text string, rate uint8) {
		r := timecode.Rate(rate % 5)
		c, err := timecode.Parse(text, r)
		if err != nil {
			if _, ok := err.(*timecode.LabelError); !ok || !c.IsZero() {
				t.Fatalf("%q: %v, %v", text, c, err)
			}
			return
		}
		if c.String() != text || c.Frame() < 0 || c.Frame() >= c.Rate.Day() {
			t.Fatalf("%q was read as %v, frame %d", text, c, c.Frame())
		}
		if again, err := timecode.Parse(c.String(), r); err != nil || again != c {
			t.Fatalf("%q was read as %v and then as %v (%v)", text, c, again, err)
		}
	})
}
