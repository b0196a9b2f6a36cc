package light

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
)

// What is on the shelf is computed once for who asks at the same time and after, one at a
// time; what failed is tried again, and who has gone has nothing computed.
func TestShelf(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newShelf[string](2)
		var computed, busy atomic.Int64
		of := func(key string) string {
			got, err := s.of(t.Context(), key, func() (string, error) {
				require.EqualValues(t, 1, busy.Add(1), "one at a time")
				defer busy.Add(-1)
				time.Sleep(time.Second)
				return fmt.Sprint(key, computed.Add(1)), nil
			})
			require.NoError(t, err)
			return got
		}
		for range 3 {
			go of("a")
		}
		synctest.Wait()
		require.Equal(t, "a1", of("a"))
		require.Equal(t, "b2", of("b"))
		require.Equal(t, "a1", of("a"), "asked for lately, it stays")
		require.Equal(t, "c3", of("c"))
		require.Equal(t, "b4", of("b"), "let go of for c")

		fails := errors.New("the child died")
		_, err := s.of(t.Context(), "d", func() (string, error) { return "half", fails })
		require.ErrorIs(t, err, fails)
		require.Equal(t, "d5", of("d"))
		gone, goes := context.WithCancel(t.Context())
		goes()
		_, err = s.of(gone, "e", func() (string, error) { return "", errors.New("computed for nobody") })
		require.ErrorIs(t, err, context.Canceled)
	})
}
