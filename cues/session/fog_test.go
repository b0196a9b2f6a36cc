package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
)

// fogShow puts a fog machine into the first place and a look that runs it.
func fogShow(cfg *session.Config) {
	for _, kind := range showfile.BuiltinTypes() {
		if kind.Name != "fog" {
			continue
		}
		mode, _ := kind.Mode("8-bit")
		deep := cfg.Show.Locations[0]
		l := &cues.RigLamp{ID: "haze", Lamp: &cues.KitLamp{ID: "F1", Type: kind, Mode: mode}, Address: cues.Address{Port: 1, Slot: 201}}
		deep.Rig = append(deep.Rig, l)
		deep.Groups = append(deep.Groups, &cues.Group{Name: "haze", Members: []cues.Member{{Lamp: l}}})
	}
	cfg.Show.Looks = append(cfg.Show.Looks, &cues.Look{Name: "mist", From: "warden", Paint: []cues.Paint{
		{On: "haze", Set: []cues.Setting{{Param: "output", Value: 40}, {Param: "fan", Value: 100}}}}})
}

// fog gives the output and the fan of the machine on the wire of the first place.
func (s *set) fog() [2]byte { return [2]byte(s.out.last().bytes[0][200:202]) }

// 40 % and 100 % of 8 bits.
var misty = [2]byte{102, 255}

// Nothing but a look that says so runs fog, and whatever ends that look stops it.
func TestFogStops(t *testing.T) {
	yes := true
	for name, end := range map[string]func(s *set) error{
		"kill":            func(s *set) error { return s.Kill(true) },
		"work light":      func(s *set) error { return s.WorkLight(&yes) },
		"another look":    func(s *set) error { return s.Cue(look("warden")) },
		"another place":   func(s *set) error { return s.Location("diving-stage") },
		"back":            (*set).goBack,
		"kill under work": func(s *set) error { _ = s.WorkLight(&yes); return s.Kill(true) },
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.Equal(t, [2]byte{}, s.fog())
				require.NoError(t, s.Cue(fading(look("mist"), "1 s")))
				s.pass(1100 * time.Millisecond)
				require.Equal(t, misty, s.fog())
				first := s.out.count()
				require.NoError(t, end(s))
				s.pass(1100 * time.Millisecond)
				stopped := false
				for _, f := range s.out.from(first) { // the frames of the place that is left are among them
					if len(f.bytes[0]) >= 202 {
						stopped = f.bytes[0][200] == 0 && f.bytes[0][201] == 0
					}
				}
				require.True(t, stopped)
			}, fogShow)
		})
	}
}

func (s *set) goBack() error { return s.Back() }

func TestFogStopsWhenTheDaemonEnds(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(fading(look("mist"), "0 s")))
		s.pass(100 * time.Millisecond)
		require.Equal(t, misty, s.fog())
		light := s.out.last().bytes[0][:200]
		s.stop()
		require.Equal(t, [2]byte{}, s.fog())
		require.Equal(t, light, s.out.last().bytes[0][:200], "the light stays")
		s.stop = func() {}
	}, fogShow)
}
