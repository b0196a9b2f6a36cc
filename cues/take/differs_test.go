package take_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues/take"
)

// lit is a lamp whose cells give light of a CCT, by its u'v' (CIE 15).
func lit(kit string, kelvin float64, lumens ...float64) take.Lamp {
	xy, err := colour.CCT{T: colour.Kelvin(kelvin)}.XY()
	if err != nil {
		panic(err)
	}
	l := take.Lamp{Kit: kit, Rig: kit + "-place", Type: "tube", Mode: "m", Bytes: []byte{1}}
	for _, y := range lumens {
		c := xy.XYZ(y)
		l.Cells = append(l.Cells, [3]float32{float32(c.X), float32(c.Y), float32(c.Z)})
	}
	return l
}

func TestDifferencesComeWorstFirst(t *testing.T) {
	then := []take.Lamp{lit("same", 3200, 100, 100), lit("half", 3200, 100, 100), lit("bluer", 3200, 100), lit("dead", 3200, 100), lit("sold", 3200, 100), lit("dark", 3200, 0), lit("one cell", 3200, 100, 100)}
	now := []take.Lamp{lit("same", 3200, 100, 100), lit("half", 3200, 50, 50), lit("bluer", 5600, 100), lit("dead", 3200, 0), lit("dark", 3200, 0), lit("one cell", 3200, 100, 25), lit("hired", 3200, 10)}
	list := take.Compare(then, now)
	byKit := map[string]take.Difference{}
	order := []string{}
	for _, d := range list {
		byKit[d.Kit] = d
		order = append(order, d.Kit)
	}
	require.Len(t, list, 8)
	require.ElementsMatch(t, []string{"dead", "sold", "hired"}, order[:3], "what is lit on one side only comes first")
	require.Equal(t, "bluer", order[3])
	require.Equal(t, "one cell", order[4])
	require.Equal(t, "half", order[5])
	require.InDelta(t, -1, byKit["half"].Stops, 1e-6, "half the light is a stop less")
	// Tungsten and daylight are about 0.05 apart in u'v' (from memory).
	require.InDelta(t, 0.053, byKit["bluer"].DeltaUV, 0.01)
	require.Equal(t, take.Near, byKit["same"].State)
	require.Equal(t, take.Near, byKit["dark"].State)
	require.Equal(t, take.WentOff, byKit["dead"].State)
	require.Equal(t, take.Gone, byKit["sold"].State)
	require.Equal(t, take.New, byKit["hired"].State)
	one := byKit["one cell"]
	require.Equal(t, take.Differs, one.State)
	require.Equal(t, 2, one.Cell)
	require.InDelta(t, -2, one.CellStops, 1e-6)
}

func TestMatchGoesByKitThenByPlace(t *testing.T) {
	place := func(kit, rig string) take.Lamp { return take.Lamp{Kit: kit, Rig: rig} }
	then := []take.Lamp{place("T1", "a"), place("T1", "b"), place("T2", "c"), place("T3", "d")}
	now := []take.Lamp{place("T1", "b"), place("T2", "moved"), place("T1", "new place"), place("T9", "d")}
	pairs := take.Match(then, now)
	require.Len(t, pairs, 5)
	require.Equal(t, &then[1], pairs[0].Then)
	require.Equal(t, &then[2], pairs[1].Then, "a lamp is itself wherever it stands")
	require.Equal(t, &then[0], pairs[2].Then)
	require.Nil(t, pairs[3].Then, "another lamp in the same place is another lamp")
	require.Equal(t, &then[3], pairs[4].Then)
	require.Nil(t, pairs[4].Now)
}

// Light that is spread over other cells is as much light.
func TestSpreadKeepsTheLight(t *testing.T) {
	l := lit("T1", 3200, 10, 20, 30, 40)
	for n, want := range map[int][]float64{1: {100}, 2: {30, 70}, 4: {10, 20, 30, 40}, 8: {5, 5, 10, 10, 15, 15, 20, 20}, 3: {10 + 20.0/3, 20.0*2/3 + 30.0*2/3, 10 + 40}} {
		got := l.Spread(n)
		require.Len(t, got, n)
		for i, w := range want {
			require.InDelta(t, w, got[i].Y, 1e-4, "%d cells, cell %d", n, i+1)
		}
	}
	require.Empty(t, l.Spread(0))
	require.Len(t, (&take.Lamp{}).Spread(3), 3)
}
