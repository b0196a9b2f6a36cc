package session_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// What differs is told of the looks of the location that is lit.
func TestLookAgainst(t *testing.T) {
	play(t, func(s *set) {
		r, err := s.LookAgainst("tide", "warden")
		require.NoError(t, err)
		require.Equal(t, "tide", r.Wears.Look)
		require.Equal(t, "warden", r.Wears.Against)
		require.NotEmpty(t, r.Groups)
		require.False(t, r.Same)
		again, err := s.LookAgainst("tide", "tide")
		require.NoError(t, err)
		require.True(t, again.Same)
		for _, names := range [][2]string{{"tied", "tide"}, {"tide", "tied"}} {
			_, err = s.LookAgainst(names[0], names[1])
			var refusal *session.Refusal
			require.True(t, errors.As(err, &refusal))
			require.Equal(t, session.Unknown, refusal.Kind)
		}
	})
}
