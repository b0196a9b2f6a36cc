package safety_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
	"linkboy/colour/safety"
)

func limit(t testing.TB, source, name string) safety.WayLimit {
	t.Helper()
	for _, l := range safety.WayLimits() {
		if l.Source == source && l.Name == name {
			return l
		}
	}
	t.Fatalf("no limit %q of %s", name, source)
	return safety.WayLimit{}
}

// TestWayLimits checks the numbers of the documents: EN 1838 by summaries, NFPA
// 101 7.9 as quoted. NFPA's are foot-candles: 1, 0.1, 0.2.
func TestWayLimits(t *testing.T) {
	escape := limit(t, "EN 1838", "escape route, centre line")
	require.Equal(t, photometry.Lux(1), escape.Least)
	require.Equal(t, 40.0, escape.MaxToMin)
	require.Equal(t, photometry.Lux(0.5), limit(t, "EN 1838", "open area").Least)
	task := limit(t, "EN 1838", "high-risk task")
	require.Equal(t, photometry.Lux(15), task.Least)
	require.Equal(t, 10.0, task.MaxToMin)
	require.Equal(t, photometry.Lux(15), safety.HighRiskTask(100), "15 lx where that is more than 10 %")
	require.Equal(t, photometry.Lux(50), safety.HighRiskTask(500))

	out := limit(t, "NFPA 101", "way out, mains failed")
	require.InDelta(t, 1, out.Average.FootCandles(), 0.005)
	require.InDelta(t, 0.1, out.Least.FootCandles(), 0.005)
	require.Equal(t, 40.0, out.MaxToMin)
	require.InDelta(t, 0.2, limit(t, "NFPA 101", "walking surface during a performance").Least.FootCandles(), 0.005)
	require.InDelta(t, 1, limit(t, "NFPA 101", "walking surface").Least.FootCandles(), 0.005)
	require.Equal(t, photometry.Lux(1), safety.AlarmFloor)
	require.Equal(t, photometry.Lux(10), safety.RigFloor)
}

// TestWayCheck works the limits on readings.
func TestWayCheck(t *testing.T) {
	escape := limit(t, "EN 1838", "escape route, centre line")
	v := escape.Check([]photometry.Lux{4, 1, 12, 40})
	require.True(t, v.Keeps(), "1 lx and 40:1 are just enough")
	require.Equal(t, 1, v.At)
	require.InDelta(t, 14.25, float64(v.Average), 1e-12)
	v = escape.Check([]photometry.Lux{4, 0.9, 12})
	require.True(t, v.Dark)
	require.False(t, v.Uneven)
	v = escape.Check([]photometry.Lux{1, 41})
	require.True(t, v.Uneven)
	require.False(t, v.Dark)
	v = escape.Check([]photometry.Lux{0, 5})
	require.True(t, math.IsInf(v.MaxToMin, 1))
	require.False(t, v.Keeps())
	v = escape.Check([]photometry.Lux{0, 0})
	require.True(t, v.Dark && v.Uneven, "dark all along")

	out := limit(t, "NFPA 101", "way out, mains failed")
	require.True(t, out.Check([]photometry.Lux{1.2, 8, 20}).Dim, "9.7 lx on the average")
	require.True(t, out.Check([]photometry.Lux{1.2, 12, 20}).Keeps())
	require.True(t, limit(t, "common practice", "rigging and strike").Check([]photometry.Lux{10, 4000}).Keeps(), "evenness is not asked for")
}
