package journal_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/journal"
	"linkboy/cues/take"
)

// busy is what 40 tubes of 16 cells have at one moment.
func busy(n int, kind take.Kind) take.Event {
	e := event(n, kind, fmt.Sprint("look ", n%7))
	e.Lamps = e.Lamps[:0]
	for i := range 40 {
		e.Lamps = append(e.Lamps, take.Lamp{
			Kit: fmt.Sprint("T", i), Rig: fmt.Sprint("lane-", i), Type: "tube-rgbww-4ft", Mode: "16-cell-16-bit",
			Address: fmt.Sprintf("0:0:%d.001", i), Bytes: make([]byte, 163), Cells: make([][3]float32, 16),
		})
	}
	return e
}

// BenchmarkCut is a take of four moments until the disk has it; baseline is a file of
// the same bytes written and synced, of which a take needs two: at roll and at cut.
func BenchmarkCut(b *testing.B) {
	ctx := context.Background()
	j, _ := running(b, filepath.Join(b.TempDir(), journal.Name))
	require.NoError(b, j.Wait(ctx))
	b.Run("take", func(b *testing.B) {
		for b.Loop() {
			t, ack := j.Roll(slated("12", "A"), func() take.Event { return busy(1, take.Roll) })
			require.NoError(b, ack.Wait(ctx))
			j.Event(t.ID, func() take.Event { return busy(2, take.Cue) })
			j.Event(t.ID, func() take.Event { return busy(3, take.Settled) })
			t.Cut = t.Rolled.Add(time.Minute)
			require.NoError(b, j.Cut(t, func() take.Event { return busy(4, take.End) }).Wait(ctx))
		}
	})
	b.Run("baseline", func(b *testing.B) {
		f, err := os.Create(filepath.Join(b.TempDir(), "file"))
		require.NoError(b, err)
		defer f.Close()
		for b.Loop() {
			for range 4 {
				_, err := f.Write(make([]byte, 15_000))
				require.NoError(b, err)
				require.NoError(b, f.Sync())
			}
		}
	})
}

// BenchmarkAsk is what whoever moves light pays for an event.
func BenchmarkAsk(b *testing.B) {
	ctx := context.Background()
	j, _ := running(b, filepath.Join(b.TempDir(), journal.Name))
	require.NoError(b, j.Wait(ctx))
	t, ack := j.Roll(slated("12", "A"), func() take.Event { return event(1, take.Roll, "warden") })
	require.NoError(b, ack.Wait(ctx))
	n := 1
	b.ReportAllocs()
	for b.Loop() {
		n++
		k := n
		j.Event(t.ID, func() take.Event { return event(k, take.Cue, "tide") })
	}
}

// BenchmarkQuery looks for a page among 10 000 takes; baseline is one row by its id.
func BenchmarkQuery(b *testing.B) {
	ctx := context.Background()
	j, _ := running(b, filepath.Join(b.TempDir(), journal.Name))
	require.NoError(b, j.Wait(ctx))
	const takes = 10_000
	fillJournal(b, j, takes)
	for name, q := range map[string]take.Query{
		"newest": {}, "scene": {Scene: "17"}, "look": {Look: "look 3"}, "day": {Since: night.Add(24 * time.Hour), Until: night.Add(48 * time.Hour)},
		"last page": {Offset: takes - 50}, "baseline": {Scene: "17", Slate: "A", Limit: 1},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				list, total, err := j.List(ctx, q)
				require.NoError(b, err)
				require.NotZero(b, total)
				require.NotEmpty(b, list)
			}
		})
	}
}

// fillJournal writes down many takes, over a month of nights.
func fillJournal(b *testing.B, j *journal.Journal, takes int) {
	b.Helper()
	list := make([]take.Take, takes)
	for i := range list {
		t := slated(fmt.Sprint(i%50), "A")
		t.ID, t.Number, t.Rolled = int64(i+1), i/50+1, night.Add(time.Duration(i)*5*time.Minute)
		t.Events = []take.Event{event(1, take.Roll, fmt.Sprint("look ", i%7))}
		list[i] = t
	}
	require.NoError(b, j.Fill(list))
}
