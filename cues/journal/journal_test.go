package journal_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/journal"
	"linkboy/cues/take"
)

// night is when the invented takes are shot.
var night = time.Date(2026, 11, 27, 21, 30, 0, 0, time.FixedZone("", 3600))

func slated(scene, slate string) take.Take {
	return take.Take{
		Scene: scene, Slate: slate, Show: "tidewater", Location: "deep-end", Setup: "wide", Clip: "A001C003",
		Camera: take.Camera{ISO: 800, Stop: 2, ShutterDeg: 180, FPS: 60, Timeline: 24, BalanceK: 4300, LensMM: 14},
		Tempo:  take.Tempo{BPM: 120, BeatsPerBar: 4}, Rolled: night, From: take.Timecode{Day: "21:30:00:00", In: "01:00:00:00"},
		Looks: []string{}, Warnings: []string{"node lost"}, Note: "sie taucht auf, \"leise\"",
		Readings: []take.Reading{{Device: "7FF0:00000001", Label: "lane 1", Name: "battery", Kind: "voltage", Value: 14.4, Unit: "V"}},
	}
}

func event(n int, kind take.Kind, look string) take.Event {
	return take.Event{
		N: n, At: night.Add(time.Duration(n) * time.Second), Kind: kind, Location: "deep-end", Look: look, Cue: n, FadeMS: 4000,
		Progress: 0.25, Overall: 0.8, Dark: true, Timecode: take.Timecode{Day: "21:30:01:00"},
		Lamps: []take.Lamp{
			{Kit: "T1", Rig: "lane-1", Type: "tube", Mode: "2-cell", Address: "0:0:1.001", Print: "ab", Bytes: []byte{byte(n), 0, 255, 7}, Cells: [][3]float32{{1.5, 2.25, 1e-9}, {0, 0, 0}}},
			{Kit: "F1", Rig: "fog", Type: "fog", Mode: "1", Address: "0:0:1.100", Print: "cd", Bytes: []byte{0}, Cells: [][3]float32{}},
		},
	}
}

// running gives a journal that runs; stop ends it and waits.
func running(tb testing.TB, path string, change ...func(*journal.Journal)) (*journal.Journal, func()) {
	tb.Helper()
	j := journal.New(path, nil)
	for _, c := range change {
		c(j)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- j.Run(ctx) }()
	stopped := false
	stop := func() {
		if !stopped {
			stopped = true
			cancel()
			require.NoError(tb, <-done)
		}
	}
	tb.Cleanup(stop)
	return j, stop
}

func shoot(tb testing.TB, j *journal.Journal, t take.Take, looks ...string) take.Take {
	tb.Helper()
	ctx := context.Background()
	t, ack := j.Roll(t, func() take.Event { return event(1, take.Roll, looks[0]) })
	require.NoError(tb, ack.Wait(ctx))
	for i, look := range looks[1:] {
		j.Event(t.ID, func() take.Event { return event(i+2, take.Cue, look) })
	}
	t.Cut, t.To = t.Rolled.Add(30*time.Second), take.Timecode{Day: "21:30:30:00", In: "01:00:30:00"}
	require.NoError(tb, j.Cut(t, func() take.Event { return event(len(looks)+1, take.End, looks[len(looks)-1]) }).Wait(ctx))
	return t
}

func TestATakeIsThereAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a folder #1 %41?", journal.Name)
	require.NoError(t, os.Mkdir(filepath.Dir(path), 0o755))
	j, stop := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	shot := shoot(t, j, slated("12", "A"), "warden", "tide", "warden")
	require.EqualValues(t, 1, shot.ID)
	require.Equal(t, 1, shot.Number)
	stop()
	require.FileExists(t, path)

	j, _ = running(t, path)
	got, err := j.Get(context.Background(), shot.ID)
	require.NoError(t, err)
	require.Equal(t, []string{"warden", "tide"}, got.Looks)
	require.Len(t, got.Events, 4)
	for i, kind := range []take.Kind{take.Roll, take.Cue, take.Cue, take.End} {
		want := event(i+1, kind, []string{"warden", "tide", "warden", "warden"}[i])
		require.True(t, want.At.Equal(got.Events[i].At))
		want.At = got.Events[i].At
		require.Equal(t, want, got.Events[i])
	}
	want := shot
	want.Looks, want.Events = got.Looks, got.Events
	require.True(t, want.Rolled.Equal(got.Rolled))
	_, east := got.Rolled.Zone()
	require.Equal(t, 3600, east, "times are told by the clock of the place")
	want.Rolled, want.Cut = got.Rolled, got.Cut
	require.Equal(t, want, *got)

	_, err = j.Get(context.Background(), 99)
	require.ErrorIs(t, err, take.ErrUnknown)
}

// SQLite is asked to keep what it says that it has kept (sqlite.org/pragma.html:
// synchronous 2 is FULL).
func TestTheWriterIsSetToKeep(t *testing.T) {
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	for name, want := range map[string]string{"synchronous": "2", "journal_mode": "wal", "foreign_keys": "1"} {
		got, err := j.Pragma(name)
		require.NoError(t, err)
		require.Equal(t, want, got, name)
	}
}

func TestNumbersCountUpBySlate(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	j, stop := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	number := func(scene, slate string) int { return shoot(t, j, slated(scene, slate), "warden").Number }
	require.Equal(t, 1, number("12", "A"))
	require.Equal(t, 2, number("12", "A"))
	require.Equal(t, 1, number("12", "B"))
	require.Equal(t, 1, number("13", "A"))
	own := slated("12", "A")
	own.Number = 7
	require.Equal(t, 7, shoot(t, j, own, "warden").Number)
	require.Equal(t, 8, number("12", "A"))

	_, ack := j.Roll(own, func() take.Event { return event(1, take.Roll, "warden") })
	require.ErrorIs(t, ack.Wait(context.Background()), take.ErrDoubled)
	require.Zero(t, j.Status().Waiting, "what makes no sense is not tried again")
	require.Zero(t, j.Status().Lost)

	stop()
	j, _ = running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	scene, slate, next := j.Next("", "")
	require.Equal(t, []any{"12", "A", 9}, []any{scene, slate, next})
	_, _, next = j.Next("13", "A")
	require.Equal(t, 2, next)
}

func TestSearch(t *testing.T) {
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	require.NoError(t, j.Wait(context.Background()))
	for i, s := range []struct {
		scene, slate, location string
		looks                  []string
	}{
		{"12", "A", "deep-end", []string{"warden", "tide"}},
		{"12", "B", "deep-end", []string{"warden"}},
		{"27A", "PU", "huts", []string{"tide", "night"}},
	} {
		tk := slated(s.scene, s.slate)
		tk.Location, tk.Rolled = s.location, night.Add(time.Duration(i)*24*time.Hour)
		tk.Circled = i == 1
		shoot(t, j, tk, s.looks...)
	}
	for _, c := range []struct {
		name  string
		query take.Query
		ids   []int64
	}{
		{"all, newest first", take.Query{}, []int64{3, 2, 1}},
		{"oldest first", take.Query{Oldest: true}, []int64{1, 2, 3}},
		{"scene", take.Query{Scene: "12"}, []int64{2, 1}},
		{"slate", take.Query{Scene: "12", Slate: "A"}, []int64{1}},
		{"look", take.Query{Look: "tide"}, []int64{3, 1}},
		{"location", take.Query{Location: "huts"}, []int64{3}},
		{"since", take.Query{Since: night.Add(24 * time.Hour)}, []int64{3, 2}},
		{"until", take.Query{Until: night.Add(24 * time.Hour)}, []int64{1}},
		{"circled", take.Query{Circled: true}, []int64{2}},
		{"nothing", take.Query{Scene: `' OR 1=1 --`}, []int64{}},
		{"page", take.Query{Limit: 1, Offset: 1}, []int64{2}},
	} {
		list, total, err := j.List(context.Background(), c.query)
		require.NoError(t, err, c.name)
		ids := []int64{}
		for _, tk := range list {
			ids = append(ids, tk.ID)
			require.Empty(t, tk.Events)
		}
		require.Equal(t, c.ids, ids, c.name)
		if c.query.Limit == 0 {
			require.Equal(t, len(c.ids), total, c.name)
		}
	}
	all, err := take.All(context.Background(), j, take.Query{Scene: "12"})
	require.NoError(t, err)
	require.Len(t, all, 2)
	require.EqualValues(t, 1, all[0].ID)
	require.Len(t, all[0].Events, 3)
	require.Nil(t, all[0].Events[0].Lamps)
}

func TestATakeIsPutRight(t *testing.T) {
	ctx := context.Background()
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	require.NoError(t, j.Wait(ctx))
	first, second := shoot(t, j, slated("12", "A"), "warden"), shoot(t, j, slated("12", "A"), "warden")
	require.NoError(t, j.Change(ctx, first.ID, take.Change{Note: new("soft"), Circled: new(true), Slate: new("B"), Number: new(4)}))
	got, err := j.Get(ctx, first.ID)
	require.NoError(t, err)
	require.Equal(t, []any{"12", "B", 4, "soft", true}, []any{got.Scene, got.Slate, got.Number, got.Note, got.Circled})
	_, _, next := j.Next("12", "B")
	require.Equal(t, 5, next)
	require.ErrorIs(t, j.Change(ctx, second.ID, take.Change{Slate: new("B"), Number: new(4)}), take.ErrDoubled)
	require.ErrorIs(t, j.Change(ctx, 99, take.Change{Note: new("x")}), take.ErrUnknown)
}

func TestPhotos(t *testing.T) {
	ctx := context.Background()
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	require.NoError(t, j.Wait(ctx))
	shot := shoot(t, j, slated("12", "A"), "warden")
	_, err := j.AddPhoto(ctx, 99, take.Photo{JPEG: []byte("x")})
	require.ErrorIs(t, err, take.ErrUnknown)
	for i := range journal.MostPhotos {
		n, err := j.AddPhoto(ctx, shot.ID, take.Photo{Taken: night, Width: 640, Height: 480, JPEG: []byte(fmt.Sprint("picture ", i))})
		require.NoError(t, err)
		require.Equal(t, i+1, n)
	}
	_, err = j.AddPhoto(ctx, shot.ID, take.Photo{JPEG: []byte("x")})
	require.ErrorIs(t, err, take.ErrPhotos)
	list, err := j.Photos(ctx, shot.ID)
	require.NoError(t, err)
	require.Len(t, list, journal.MostPhotos)
	require.Equal(t, 640, list[0].Width)
	p, err := j.Photo(ctx, shot.ID, 2)
	require.NoError(t, err)
	require.Equal(t, "picture 1", string(p.JPEG))
	_, err = j.Photo(ctx, shot.ID, 50)
	require.ErrorIs(t, err, take.ErrUnknown)
	got, err := j.Get(ctx, shot.ID)
	require.NoError(t, err)
	require.Equal(t, journal.MostPhotos, got.Photos)
}

// A disk that is full keeps what happens waiting, says so, and nothing is lost once it
// has room again.
func TestAFullDiskLosesNothingThatFitsInMemory(t *testing.T) {
	ctx := context.Background()
	j, stop := running(t, filepath.Join(t.TempDir(), journal.Name), func(j *journal.Journal) { j.LimitPages(0) })
	require.NoError(t, j.Wait(ctx))
	big := func(n int, kind take.Kind) func() take.Event {
		e := event(n, kind, "warden")
		e.Lamps[0].Bytes = make([]byte, 100_000)
		return func() take.Event { return e }
	}
	tk, ack := j.Roll(slated("12", "A"), big(1, take.Roll))
	err := ack.Wait(ctx)
	require.ErrorContains(t, err, "full") // SQLITE_FULL, "database or disk is full"
	require.EqualValues(t, 1, tk.ID)
	for n := range 5 {
		j.Event(tk.ID, big(n+2, take.Cue))
	}
	tk.Cut = night.Add(time.Minute)
	require.Error(t, j.Cut(tk, big(7, take.End)).Wait(ctx))
	st := j.Status()
	require.Error(t, st.Err)
	require.Equal(t, 7, st.Waiting)
	require.Zero(t, st.Lost)

	j.Unlimit()
	next := shoot(t, j, slated("12", "A"), "tide")
	require.Equal(t, 2, next.Number)
	st = j.Status()
	require.NoError(t, st.Err)
	require.Zero(t, st.Waiting)
	got, err := j.Get(ctx, tk.ID)
	require.NoError(t, err)
	require.Len(t, got.Events, 7)
	require.False(t, got.Cut.IsZero())
	stop()
}

// What even memory has no room for is counted, and the take says how much of it lacks.
func TestWhatIsLostIsCounted(t *testing.T) {
	ctx := context.Background()
	j, stop := running(t, filepath.Join(t.TempDir(), journal.Name), func(j *journal.Journal) { j.LimitPages(0) })
	require.NoError(t, j.Wait(ctx))
	big := event(1, take.Roll, "warden")
	big.Lamps[0].Bytes = make([]byte, 100_000)
	tk, ack := j.Roll(slated("12", "A"), func() take.Event { return big })
	require.Error(t, ack.Wait(ctx))
	const many = 1100
	for n := range many {
		for {
			was := j.Status()
			if was.Waiting+int(was.Lost) >= n { // the queue itself is not what is tried here
				break
			}
			time.Sleep(time.Millisecond)
		}
		j.Event(tk.ID, func() take.Event { return event(n+2, take.Cue, "warden") })
	}
	const lost = many + 1 - 1024
	outside.Await(t, "what does not fit is lost", func() bool { return j.Status().Lost == lost && j.Status().Waiting == 1024 })
	j.Unlimit()
	tk.Cut = night.Add(time.Minute)
	require.NoError(t, j.Cut(tk, func() take.Event { return event(many+2, take.End, "warden") }).Wait(ctx))
	got, err := j.Get(ctx, tk.ID)
	require.NoError(t, err)
	require.EqualValues(t, lost, got.Lost)
	stop()
}

func TestAJournalFromSchema1IsBroughtUpToDate(t *testing.T) {
	kept, err := os.ReadFile("testdata/version1.db")
	require.NoError(t, err, "written by WriteVersion1: LINKBOY_KEEP=1 go test -run Version1")
	path := filepath.Join(t.TempDir(), journal.Name)
	require.NoError(t, os.WriteFile(path, kept, 0o644))
	j, _ := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	v, err := j.Version()
	require.NoError(t, err)
	require.Equal(t, 2, v)
	got, err := j.Get(context.Background(), 7)
	require.NoError(t, err)
	require.Equal(t, "kept from schema 1", got.Note)
	require.Equal(t, []string{"warden"}, got.Looks)
	require.Zero(t, got.Lost)
	_, err = j.AddPhoto(context.Background(), 7, take.Photo{JPEG: []byte("x")})
	require.NoError(t, err)
	_, _, next := j.Next("12", "A")
	require.Equal(t, 4, next)
}

// TestKeepVersion1 writes the kept file anew when it is asked to.
func TestKeepVersion1(t *testing.T) {
	path := filepath.Join(t.TempDir(), "version1.db")
	if os.Getenv("LINKBOY_KEEP") != "" {
		path = "testdata/version1.db"
		require.NoError(t, os.MkdirAll("testdata", 0o755))
	}
	require.NoError(t, journal.WriteVersion1(path))
}

func TestAJournalOfANewerBuildIsLeftAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	j, stop := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	stop()
	require.NoError(t, journal.Raise(path))
	before, err := os.ReadFile(path)
	require.NoError(t, err)

	j, stop = running(t, path)
	err = j.Wait(context.Background())
	var newer *journal.NewerError
	require.ErrorAs(t, err, &newer)
	require.Contains(t, err.Error(), "use the newer linkboy")
	_, ack := j.Roll(slated("12", "A"), func() take.Event { return event(1, take.Roll, "warden") })
	require.Error(t, ack.Wait(context.Background()))
	require.EqualValues(t, 1, j.Status().Lost)
	stop()
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, before, after)
}

func TestADatabaseOfSomethingElseIsLeftAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	require.NoError(t, journal.Foreign(path))
	j, _ := running(t, path)
	require.ErrorIs(t, j.Wait(context.Background()), journal.ErrForeign)
}

func TestABrokenJournalIsMovedAside(t *testing.T) {
	for name, spoil := range map[string]func(b []byte) []byte{
		"garbage":        func([]byte) []byte { return []byte(strings.Repeat("no database at all. ", 500)) },
		"broken page":    func(b []byte) []byte { copy(b[4096:], strings.Repeat("\xff", 8000)); return b },
		"cut off":        func(b []byte) []byte { return b[:5000] },
		"head is zeroed": func(b []byte) []byte { clear(b[:100]); return b },
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), journal.Name)
			j, stop := running(t, path)
			require.NoError(t, j.Wait(context.Background()))
			shoot(t, j, slated("12", "A"), "warden")
			stop()
			b, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path, spoil(b), 0o644))

			j, _ = running(t, path)
			require.NoError(t, j.Wait(context.Background()))
			st := j.Status()
			require.NotEmpty(t, st.Aside)
			require.FileExists(t, st.Aside)
			require.NotEmpty(t, st.Why)
			require.Equal(t, 1, shoot(t, j, slated("12", "A"), "warden").Number, "a new one has begun")
		})
	}
}

func TestAFolderThatCannotBeWrittenStopsNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "no such folder", journal.Name)
	j, stop := running(t, path)
	require.Error(t, j.Wait(context.Background()))
	require.Error(t, j.Status().Err)
	_, _, err := j.List(context.Background(), take.Query{})
	require.Error(t, err)
	require.Error(t, j.Change(context.Background(), 1, take.Change{}))
	stop()
	ack := j.Cut(slated("12", "A"), func() take.Event { return event(1, take.End, "") })
	require.True(t, errors.Is(ack.Wait(context.Background()), take.ErrNotReady), "after its end nothing waits for ever")
}

// What can never be written does not stand in the way of what can.
func TestAnEventOfNoTakeHoldsNothingUp(t *testing.T) {
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	require.NoError(t, j.Wait(context.Background()))
	j.Event(99, func() take.Event { return event(2, take.Cue, "tide") })
	shoot(t, j, slated("12", "A"), "warden")
	require.Zero(t, j.Status().Waiting)
	require.EqualValues(t, 1, j.Status().Lost)
	require.NoError(t, j.Status().Err)
}

// A take that rolled when the daemon was killed ends when it was last heard of.
func TestATakeThatRolledEndsWithTheDaemon(t *testing.T) {
	path := filepath.Join(t.TempDir(), journal.Name)
	j, stop := running(t, path)
	require.NoError(t, j.Wait(context.Background()))
	tk, ack := j.Roll(slated("12", "A"), func() take.Event { return event(1, take.Roll, "warden") })
	require.NoError(t, ack.Wait(context.Background()))
	j.Event(tk.ID, func() take.Event { return event(2, take.Cue, "tide") })
	stop()
	j, _ = running(t, path)
	got, err := j.Get(context.Background(), tk.ID)
	require.NoError(t, err)
	require.True(t, got.Broken)
	require.True(t, got.Cut.Equal(event(2, take.Cue, "").At))
}
