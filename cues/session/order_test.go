package session_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

// hand is a person who gives any verb at any moment.
type hand struct {
	*set
	dice *rand.Rand
	said []string
	// leap is set when light was asked to change in no time, and snapped when
	// back would do that.
	leap, snapped bool
}

func (h *hand) pick(words ...string) string { return words[h.dice.IntN(len(words))] }

// change gives a cue or a look with a time of half a second or more.
func (h *hand) change() error {
	r := look(h.pick("warden", "tide", "night"))
	if h.dice.IntN(2) == 0 {
		r = h.cue(2 + h.dice.IntN(3))
	}
	r.Fade = h.pick("500 ms", "2 s", "8 s")
	r.Path, r.Curve, r.Spread = h.pick("", "white"), h.pick("", "soft"), h.pick("", "1 s along edge")
	return h.Cue(r)
}

// verb gives one verb; a refusal is as good as any answer.
func (h *hand) verb() {
	h.leap = false
	verbs := []func() error{
		h.change, h.change, h.change, h.Hold, h.Resume,
		func() error { h.leap = h.snapped; return h.Back() },
		func() error { h.leap = h.snapped; return h.Back() },
		func() error { return h.WorkLight(nil) },
		func() error { return h.WorkLight(nil) },
		func() error { h.leap = true; return h.Kill(h.dice.IntN(2) == 0) },
		func() error { h.leap = true; return h.Ride(h.dice.Float64()) },
		func() error { h.leap, h.snapped = true, true; return h.Snap() },
		func() error { h.leap = true; return h.Location(h.pick("deep-end", "deep-end", "diving-stage")) },
		func() error { n := 1 + h.dice.IntN(4); return h.Standby(session.Target{Cue: &n}) },
	}
	k := h.dice.IntN(len(verbs))
	err := verbs[k]()
	h.said = append(h.said, fmt.Sprintf("verb %d: %v; %+v", k, err, h.State().Fade))
}

// story is what the hand did last.
func (h *hand) story() string { return strings.Join(h.said[max(0, len(h.said)-8):], "\n") }

// Whatever order the verbs come in, light changes no faster than it was asked
// to, it is dark only when killed, and every way leads back to a look.
func TestVerbsInAnyOrder(t *testing.T) {
	for seed := range uint64(25) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			play(t, func(s *set) {
				h := &hand{set: s, dice: rand.New(rand.NewPCG(seed, 1))}
				for range 120 {
					first := s.out.count() - 1
					h.verb()
					s.pass([]time.Duration{1, 10, 30, 200, 1100, 3000}[h.dice.IntN(6)] * time.Millisecond)
					st := s.State()
					switch {
					case st.Killed:
						require.Zero(t, s.lumens(), h.story())
						require.Nil(t, st.Fade)
						require.False(t, st.Held)
					case st.Fade == nil && st.Look != "night": // which may run without floor light
						require.Positive(t, s.lumens(), h.story())
					}
					if h.leap {
						s.pass(200 * time.Millisecond)
						continue
					}
					require.Less(t, s.steps(s.out.from(first)), 1.0/12, h.story())
				}
				off := false
				require.NoError(t, s.Kill(false))
				require.NoError(t, s.WorkLight(&off))
				require.NoError(t, s.Cue(look("tide")))
				s.pass(10 * time.Second)
				s.shows("tide")
				st := s.State()
				require.False(t, st.Held || st.Killed || st.Work || st.Fade != nil)
			})
		})
	}
}
