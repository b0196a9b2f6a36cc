package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

// The first level that is measured at a mark is on the set as it is painted: the light of
// the place is there by then, and was kept in its small form, as no look measured by it.
func TestTheFirstMeasuredLevelIsTriedLive(t *testing.T) {
	l := &lamplighter{}
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("tide")))
		s.pass(10 * time.Second)
		measured := func(show *cues.Show) (*cues.Show, bool) {
			made, tide := *show, *show.Look(nil, "tide")
			tide.Paint = append(tide.Paint[:len(tide.Paint):len(tide.Paint)], cues.Paint{On: "key", Level: cues.Level{Kind: cues.Lux, Value: 2, Mark: "a"}})
			made.Looks = nil
			for _, k := range show.Looks {
				if k.Name == "tide" {
					k = &tide
				}
				made.Looks = append(made.Looks, k)
			}
			return &made, true
		}
		ask := session.TryRequest{Look: "tide", Live: true, Sketch: measured}
		tried, err := s.Try(ask)
		require.NoError(t, err)
		require.False(t, tried.Live, "the light is not finished")
		require.NotEmpty(t, tried.Why)

		l.kept = bright
		l.stages <- session.Lighting{Stage: "bounced", Hash: bright.Hash, Encoded: bright.Encoded}
		s.tick()
		tried, err = s.Try(ask)
		require.NoError(t, err)
		require.True(t, tried.Live, tried.Why)
		s.pass(time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.02, "2 lx at a hundredth of a lux for a lumen")
	}, func(cfg *session.Config) {
		l.stages = make(chan session.Lighting) // of the bubble
		cfg.Lighter = l
	})
}
