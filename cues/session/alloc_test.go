//go:build !race

package session_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// Seen is asked 33 times a second in the process of the 44 Hz loop.
func TestSeenAllocNothing(t *testing.T) {
	s, _, err := session.Open(session.Config{Show: testShow(t), Output: &recorder{}})
	require.NoError(t, err)
	cells := s.Seen(nil)
	require.LessOrEqual(t, testing.AllocsPerRun(100, func() { cells = s.Seen(cells) }), 0.1, "but for a collector that empties the pools")
}
