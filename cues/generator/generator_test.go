package generator_test

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/generator"
	"linkboy/cues/track"
)

var update = flag.Bool("update", false, "write the sums of the tables anew: every show that moves changes with them")

// tables are one of each kind, and some with other numbers.
func tables() map[string][]uint16 {
	return map[string][]uint16{
		"sine":               generator.Sine(),
		"ramp":               generator.Ramp(),
		"pulse 50%":          generator.Pulse(0.5),
		"pulse 12.5%":        generator.Pulse(0.125),
		"flame 1":            generator.Flame(400*time.Millisecond, 1),
		"flame 2":            generator.Flame(400*time.Millisecond, 2),
		"flame slow":         generator.Flame(2*time.Second, 1),
		"screen 1":           generator.Screen(3*time.Second, 1),
		"screen 2":           generator.Screen(3*time.Second, 2),
		"lightning 1":        generator.Lightning(8*time.Second, 1),
		"lightning 2":        generator.Lightning(8*time.Second, 2),
		"lightning far away": generator.Lightning(time.Minute, 1),
		"passing 1":          generator.Passing(6*time.Second, time.Second, 1),
		"passing 2":          generator.Passing(6*time.Second, time.Second, 2),
	}
}

// TestTablesAreTheSame compares the sum of every table with the one that is
// kept, so that another machine or a later build shows a difference: a take must
// come back exactly.
func TestTablesAreTheSame(t *testing.T) {
	const path = "testdata/tables.sha256"
	var lines []string
	for name, table := range tables() {
		var bytes []byte
		for _, v := range table {
			bytes = append(bytes, byte(v>>8), byte(v))
		}
		sum := sha256.Sum256(bytes)
		lines = append(lines, fmt.Sprintf("%s  %s\n", hex.EncodeToString(sum[:]), name))
	}
	slices.Sort(lines)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "")), 0o644))
	}
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.ElementsMatch(t, strings.SplitAfter(strings.TrimSuffix(string(kept), "\n")+"\n", "\n"), append(lines, ""))
}

func TestTablesAreSound(t *testing.T) {
	for name, table := range tables() {
		s := track.Motion{Sources: []track.Source{{Period: time.Second, Table: table}}}
		require.NoError(t, s.Validate(0), name)
		low, high := table[0], table[0]
		for _, v := range table {
			low, high = min(low, v), max(high, v)
		}
		require.Less(t, low, uint16(track.Whole/4), name)
		require.Greater(t, high, uint16(track.Whole*3/4), name)
	}
}

func TestWaves(t *testing.T) {
	sine := track.Source{Period: time.Second, Table: generator.Sine()}
	for i := range 10000 {
		at := float64(i) / 10000
		// By its definition, to half a 16-bit step.
		require.InDelta(t, (1-math.Cos(2*math.Pi*at))/2, sine.At(uint32(at*(1<<32))), 0.5/32768)
	}
	ramp := track.Source{Period: time.Second, Table: generator.Ramp()}
	require.Zero(t, ramp.At(0))
	require.InDelta(t, 0.5, ramp.At(1<<31), 2e-4)
	require.InDelta(t, 1, ramp.At(math.MaxUint32-1<<20), 2e-3)
	pulse := track.Source{Period: time.Second, Table: generator.Pulse(0.25), Steps: true}
	require.Zero(t, pulse.At(1<<30-1))
	require.Equal(t, 1.0, pulse.At(1<<30))
	require.Equal(t, 1.0, pulse.At(math.MaxUint32))
}

func TestLong(t *testing.T) {
	for _, row := range []struct {
		period time.Duration
		want   int
	}{{50 * time.Millisecond, 4096}, {4 * time.Second, 4096}, {5 * time.Second, 8192}, {time.Minute, 65536}, {time.Hour, 65536}} {
		require.Equal(t, row.want, generator.Long(row.period), row.period)
	}
}

// dips gives where a table leaves the far end: the beginnings of happenings.
func dips(table []uint16, under uint16) []int {
	var at []int
	for i := range table {
		if before := table[(i+len(table)-1)%len(table)]; before >= under && table[i] < under {
			at = append(at, i)
		}
	}
	return at
}

func TestLightningStrikesNowAndThen(t *testing.T) {
	for seed := range uint64(50) {
		table := generator.Lightning(8*time.Second, seed)
		strikes, strokes := 1, 0
		last := -1
		for _, at := range dips(table, track.Whole*6/10) {
			if last >= 0 && at-last > generator.Rate {
				strikes++
				require.GreaterOrEqual(t, at-last, 3*generator.Rate, "a half of the period less the strike itself")
			}
			last = at
			strokes++
		}
		require.InDelta(t, len(table)/(8*generator.Rate), strikes, 1, "one a period")
		require.LessOrEqual(t, strokes, 3*(strikes+1))
	}
}

func TestPassingLightsPassOneByOne(t *testing.T) {
	for seed := range uint64(50) {
		table := generator.Passing(6*time.Second, time.Second, seed)
		lights := dips(table, track.Whole)
		require.Len(t, lights, len(table)/(6*generator.Rate))
		for i, at := range lights[1:] {
			require.InDelta(t, 6*generator.Rate, at-lights[i], 3*generator.Rate+2)
		}
		step := 0
		for i := range table[1:] {
			step = max(step, int(table[i])-int(table[i+1]), int(table[i+1])-int(table[i]))
		}
		require.Less(t, step, track.Whole*6/100, "it swells: half a second is 32 entries, at 1.5 of the mean slope")
	}
}

func TestScreenCuts(t *testing.T) {
	for seed := range uint64(50) {
		table := generator.Screen(3*time.Second, seed)
		cuts, last := 0, 0
		for i := 1; i <= len(table); i++ {
			if d := int(table[i%len(table)]) - int(table[i-1]); d > track.Whole/50 || d < -track.Whole/50 {
				cuts++
				require.GreaterOrEqual(t, i-last, 3*generator.Rate/4, "no shot is shorter than a quarter of the period")
				last = i
			}
		}
		require.InDelta(t, len(table)/(3*generator.Rate), cuts, 9, "a period on the average")
	}
}

// TestFlameLingers: it is bright for most of the time and never cuts.
func TestFlameLingers(t *testing.T) {
	for seed := range uint64(20) {
		table := generator.Flame(400*time.Millisecond, seed)
		sum, step := 0, 0
		for i, v := range table {
			sum += int(v)
			d := int(v) - int(table[(i+1)%len(table)])
			step = max(step, d, -d)
		}
		require.Less(t, sum/len(table), track.Whole*45/100)
		require.Less(t, step, track.Whole/4, "a quarter of its way in a 64th of a second")
	}
}

func BenchmarkTables(b *testing.B) {
	for b.Loop() {
		generator.Flame(400*time.Millisecond, 1)
	}
}
