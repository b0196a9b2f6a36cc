package session_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// A sitting holds what each look gives the camera, as the wire would; before the light is
// whole there is none.
func TestSittingIsOfTheSettledLooks(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		_, err := s.Sitting("")
		require.ErrorContains(t, err, "is being computed")
		l.stages <- bright
		s.tick()
		wide, err := s.Sitting("")
		require.NoError(t, err)
		looks, slots := wide.Looks()
		task, err := wide.Stage.Stills(wide.Setup, wide.Light, slots, 208, 128)
		require.NoError(t, err)
		require.Equal(t, []string{"warden", "tide", "night"}, looks)
		_, err = s.LookSeen("ring")
		require.Error(t, err, "which is why it is not among them")
		require.Equal(t, "map", string(task.Light))
		require.Len(t, task.Cells, len(looks))
		seen, err := s.LookSeen("tide")
		require.NoError(t, err)
		require.Equal(t, seen, task.Cells[slices.Index(looks, "tide")])

		again, err := s.Sitting(s.State().Setup)
		require.NoError(t, err)
		require.Equal(t, wide.Key, again.Key)
		_, err = s.Sitting("nowhere")
		require.Error(t, err)
		require.NoError(t, s.Location("diving-stage"))
		_, err = s.Sitting("")
		require.ErrorContains(t, err, "no set-up")
	})
}
