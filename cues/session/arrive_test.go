package session_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

// The output is told of a location before the first frame of it goes out, and
// of nothing else.
func TestArriveComesBeforeTheFirstFrame(t *testing.T) {
	out := &recorder{}
	type turn struct {
		location string
		ports    []uint16 // of the last frame before
	}
	var turns []turn
	play(t, func(s *set) {
		require.Equal(t, []turn{{"deep-end", nil}}, turns)
		s.tick()
		deep := out.addresses()
		require.NoError(t, s.Location("diving-stage"))
		s.tick()
		require.Equal(t, turn{"diving-stage", deep}, turns[1])
		require.NoError(t, s.Location("diving-stage"))
		require.Error(t, s.Location("nowhere"))
		require.NoError(t, s.Location("deep-end"))
		require.Len(t, turns, 3)
	}, func(cfg *session.Config) {
		cfg.Output = out
		cfg.Arrive = func(loc *cues.Location) { turns = append(turns, turn{loc.Name, out.addresses()}) }
	})
}
