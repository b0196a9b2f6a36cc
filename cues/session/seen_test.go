package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/cues/session"
	"linkboy/cues/stage"
)

// What the camera is said to see is what an eye makes of the bytes that went out; in a
// dry run, of those that would have: a rehearsal shows what a take will.
func TestSeenIsTheWire(t *testing.T) {
	for _, dry := range []bool{false, true} {
		play(t, func(s *set) {
			require.NoError(t, s.Cue(s.cue(2)))
			time.Sleep(2 * time.Second) // half of the fade
			require.NoError(t, s.Hold())
			time.Sleep(time.Second)
			place := s.place()
			set, problems := stage.Build(place)
			require.NotNil(t, set, problems)
			view, err := s.show.Camera.View()
			require.NoError(t, err)
			want := make([]camera.Response, len(place.Cells))
			_, slots := s.Frames()
			stage.NewEye(set, view).See(slots, want)
			got := s.Seen(nil)
			require.Len(t, got, len(want))
			light := 0.0
			for i := range want {
				require.Equal(t, want[i].RGB, got[i])
				light += got[i].G
			}
			require.Positive(t, light)
		}, func(c *session.Config) { c.Dry = dry })
	}
}

func TestLookSeenIsTheSettledWire(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		time.Sleep(4*time.Second + 500*time.Millisecond) // cue 3 follows by itself later
		settled, err := s.LookSeen("tide")
		require.NoError(t, err)
		require.Equal(t, settled, s.Seen(nil))
		_, err = s.LookSeen("nobody")
		require.Error(t, err)
	})
}

func TestSceneFollowsTheLocation(t *testing.T) {
	play(t, func(s *set) {
		before, err := s.Scene()
		require.NoError(t, err)
		require.Equal(t, "deep-end", before.Location)
		require.NoError(t, s.Location("diving-stage"))
		after, err := s.Scene()
		require.NoError(t, err)
		require.Equal(t, "diving-stage", after.Location)
		require.Equal(t, s.State().Revision, after.Revision)
		require.NotEqual(t, before.Revision, after.Revision)
		require.Len(t, s.Seen(nil), len(after.Lamps))
	})
}
