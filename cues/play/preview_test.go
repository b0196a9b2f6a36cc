package play_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
)

// Frames of a dry run go to the preview and to nobody else, live frames never.
func TestPreviewTakesDryRuns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		live, preview := &recorder{}, &recorder{}
		e := play.New(play.Config{Output: live, Preview: preview})
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() { done <- e.Run(ctx) }()
		require.NoError(t, e.Load(flat(1), all(1, 0.5)))
		time.Sleep(time.Second)
		synctest.Wait()
		require.Empty(t, preview.all())
		require.NotEmpty(t, live.all())

		require.NoError(t, e.Dry(true))
		synctest.Wait()
		before := len(live.all())
		require.NoError(t, e.Load(flat(1), all(1, 1)))
		time.Sleep(time.Second)
		synctest.Wait()
		require.Len(t, live.all(), before)
		require.InDelta(t, 1, preview.last().values[0], step)
		for _, f := range preview.all() {
			require.False(t, f.first, "the first frame is kept for the lamps")
		}
		preview.mu.Lock()
		preview.err = errors.New("no network")
		preview.mu.Unlock()
		time.Sleep(time.Second)
		synctest.Wait()
		require.ErrorContains(t, now(t, e).SendError, "no network")

		shown := len(preview.all())
		require.NoError(t, e.Dry(false))
		time.Sleep(time.Second)
		synctest.Wait()
		require.Len(t, preview.all(), shown)
		require.True(t, live.all()[before].first, "the lamps are told the whole state")
		require.NoError(t, now(t, e).SendError)
		cancel()
		require.NoError(t, <-done)
	})
}
