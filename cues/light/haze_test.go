package light_test

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/picture"
	"linkboy/cues/light"
)

// Haze is computed once for who asks at the same time and after, one at a time, and what
// was longest not asked for is let go of.
func TestHazeIsComputedOnce(t *testing.T) {
	set := demoStages(t)[0]
	u := set.Plan.Location.Setups[0]
	synctest.Test(t, func(t *testing.T) {
		var computed, busy atomic.Int64
		h := light.NewHaze(func(_ context.Context, task []byte) ([]byte, error) {
			require.EqualValues(t, 1, busy.Add(1), "one at a time")
			defer busy.Add(-1)
			time.Sleep(time.Second)
			computed.Add(1)
			parsed, err := picture.ParseHazeTask(task)
			return fmt.Appendf(nil, "%g", parsed.Share), err
		})
		of := func(share float64) light.Air {
			a, err := h.Of(t.Context(), set, u, share)
			require.NoError(t, err)
			require.Equal(t, fmt.Sprint(share), string(a.Packed))
			return a
		}
		for range 3 {
			go of(0.1)
			go of(0.2)
		}
		synctest.Wait()
		time.Sleep(3 * time.Second)
		synctest.Wait()
		require.EqualValues(t, 2, computed.Load())
		require.NotEqual(t, of(0.1).Hash, of(0.2).Hash)

		for _, share := range []float64{0.3, 0.4, 0.5, 0.6, 0.1, 0.7} {
			of(share)
		}
		require.EqualValues(t, 7, computed.Load())
		of(0.1)
		require.EqualValues(t, 7, computed.Load(), "it was asked for lately")
		of(0.2)
		require.EqualValues(t, 8, computed.Load(), "it was not")
	})
}

// Who has gone has nothing computed, and what failed is tried again.
func TestHazeFails(t *testing.T) {
	set := demoStages(t)[0]
	u := set.Plan.Location.Setups[0]
	fails := errors.New("the child died")
	h := light.NewHaze(func(context.Context, []byte) ([]byte, error) { return []byte("air"), fails })
	_, err := h.Of(t.Context(), set, u, 0.1)
	require.ErrorIs(t, err, fails)
	gone, goes := context.WithCancel(t.Context())
	goes()
	fails = nil
	_, err = h.Of(gone, set, u, 0.1)
	require.ErrorIs(t, err, context.Canceled)
	a, err := h.Of(t.Context(), set, u, 0.1)
	require.NoError(t, err)
	require.Equal(t, "air", string(a.Packed))
}
