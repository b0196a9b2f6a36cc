package journal_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/journal"
	"linkboy/cues/take"
)

// A list tells when looks came on where it is asked to, and the cut keeps what was said
// with it.
func TestListTellsWhenLooksCameOn(t *testing.T) {
	ctx := context.Background()
	j, _ := running(t, filepath.Join(t.TempDir(), journal.Name))
	require.NoError(t, j.Wait(ctx))
	list, total, err := j.List(ctx, take.Query{Came: true})
	require.NoError(t, err)
	require.Zero(t, total)
	require.Empty(t, list)

	at := func(n int, kind take.Kind, look string, after time.Duration) func() take.Event {
		e := event(n, kind, look)
		e.At, e.Cue = night.Add(after), n
		return func() take.Event { return e }
	}
	want := slated("12", "A")
	want.Rolled = night
	for range 2 {
		tk, ack := j.Roll(want, at(1, take.Roll, "warden", 0))
		require.NoError(t, ack.Wait(ctx))
		j.Event(tk.ID, at(2, take.Cue, "tide", 2300*time.Millisecond))
		j.Event(tk.ID, at(3, take.Settled, "tide", 4*time.Second))
		j.Event(tk.ID, at(4, take.Cue, "", 5*time.Second))
		tk.Cut, tk.Clip, tk.Note = night.Add(10*time.Second), "B007C001", "soft"
		require.NoError(t, j.Cut(tk, at(5, take.End, "", 10*time.Second)).Wait(ctx))
	}
	list, _, err = j.List(ctx, take.Query{Came: true})
	require.NoError(t, err)
	require.Len(t, list, 2)
	for _, tk := range list {
		require.Equal(t, []take.Came{{Look: "warden", Cue: 1}, {Look: "tide", Cue: 2, AfterMS: 2300}, {Look: "", Cue: 4, AfterMS: 5000}}, tk.Came)
		require.Equal(t, "B007C001", tk.Clip, "what was said with the cut")
		require.Equal(t, "soft", tk.Note)
	}
	list, _, err = j.List(ctx, take.Query{})
	require.NoError(t, err)
	require.Nil(t, list[0].Came)
}
