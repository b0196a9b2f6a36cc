package session_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// BenchmarkFlip is the way from a verb to the first frame at the output, with
// the change compiled ahead (the stand-by) and compiled on the tap.
func BenchmarkFlip(b *testing.B) {
	for name, fade := range map[string]string{"stand-by": "", "compiled-on-the-tap": "3 s"} {
		b.Run(name, func(b *testing.B) {
			show := testShow(b)
			s, _, err := session.Open(session.Config{Show: show, Location: "diving-stage", Output: nowhere{}})
			require.NoError(b, err)
			ctx, cancel := context.WithCancel(context.Background())
			done := make(chan error, 1)
			go func() { done <- s.Run(ctx) }()
			b.ReportAllocs()
			for b.Loop() {
				one, two := 1, 2
				for _, n := range []*int{&two, &one} {
					if err := s.Cue(session.CueRequest{Target: session.Target{Cue: n}, Fade: fade}); err != nil {
						b.Fatal(err)
					}
				}
			}
			cancel()
			require.NoError(b, <-done)
		})
	}
}

type nowhere struct{}

func (nowhere) SendFrame([]uint16, [][]byte, bool) error { return nil }
