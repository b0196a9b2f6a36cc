package session_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

// network is an output like a network of nodes, each of which holds what it last got.
type network struct {
	mu    sync.Mutex
	holds map[uint16][]byte
	last  time.Time // a frame came
	gap   time.Duration
}

func newNetwork() *network { return &network{holds: map[uint16][]byte{}} }

func (w *network) SendFrame(addresses []uint16, slots [][]byte, _ bool) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !w.last.IsZero() {
		w.gap = max(w.gap, time.Since(w.last))
	}
	w.last = time.Now()
	for i, a := range addresses {
		if len(w.holds[a]) < len(slots[i]) {
			w.holds[a] = append(w.holds[a], make([]byte, len(slots[i])-len(w.holds[a]))...)
		}
		copy(w.holds[a], slots[i])
	}
	return nil
}

// holding gives what is held, by port-address.
func (w *network) holding() map[uint16][]byte {
	w.mu.Lock()
	defer w.mu.Unlock()
	all := map[uint16][]byte{}
	for a, b := range w.holds {
		all[a] = slices.Clone(b)
	}
	return all
}

// onNetwork plays a test on a network that holds frames.
func onNetwork(t *testing.T, body func(*set, *network)) {
	w := newNetwork()
	play(t, func(s *set) { body(s, w) }, func(cfg *session.Config) { cfg.Output = w })
}

// lit reads the light on the network as shares: the 16-bit values of every layout that
// the test has had, by where they are. What overlaps in other ways is left out.
func lit(layouts []*cues.Show, held map[uint16][]byte) map[[2]int]float64 {
	values := map[[2]int]float64{}
	for _, show := range layouts {
		for _, r := range show.Locations[0].Rig {
			b := held[r.Address.Port]
			for _, ch := range r.Lamp.Mode.Channels {
				at := r.Address.Slot - 1 + ch.Offset
				if ch.Param != nil || ch.Bits != 16 || at+1 >= len(b) {
					continue
				}
				values[[2]int{int(r.Address.Port), at}] = float64(int(b[at])<<8|int(b[at+1])) / 65535
			}
		}
	}
	return values
}

// calm lets time go by and checks, every few milliseconds, that no light on the network
// moves further than an edit's fade and a fade of `besides` a second allow.
func (s *set) calm(w *network, shows []*cues.Show, d time.Duration, besides float64) {
	s.t.Helper()
	last := lit(shows, w.holding())
	for range d / (25 * time.Millisecond) {
		s.pass(25 * time.Millisecond)
		now := lit(shows, w.holding())
		most := 2*0.023/editFade.Seconds() + 2*0.023*besides + 0.005 // two frames may fall into 25 ms
		for at, v := range now {
			require.LessOrEqual(s.t, math.Abs(v-last[at]), most, "%v", at)
		}
		last = now
	}
	require.Less(s.t, w.gap, 24*time.Millisecond, "a frame is missing")
}

// settledAs checks that the network holds what a look says for a show, and is dark
// wherever no lamp is any more.
func (s *set) settledAs(w *network, shows []*cues.Show, name string) {
	s.t.Helper()
	p, want, held := s.place(), map[uint16][]byte{}, w.holding()
	frame := s.bytesOf(name, true)
	for i, u := range p.Layout.Universes {
		want[u.Address] = frame[i]
		require.Equal(s.t, frame[i], held[u.Address][:len(frame[i])], "universe %d", u.Address)
	}
	should := lit(shows, want)
	for at, v := range lit(shows, held) {
		if _, inFrame := should[at]; !inFrame {
			require.Zero(s.t, v, "%v", at)
		}
	}
}

func TestTheRigChanges(t *testing.T) {
	for name, edit := range map[string]func(*cues.Show){
		"an address": readdress,
		"a universe": func(show *cues.Show) { show.Locations[0].Rig[1].Address = cues.Address{Port: 7, Slot: 1} },
		"all of them": func(show *cues.Show) {
			for _, r := range show.Locations[0].Rig {
				r.Address.Port = 12
			}
		},
		"a lamp less": func(show *cues.Show) {
			loc := show.Locations[0]
			loc.Rig = loc.Rig[:3]
			loc.Groups = loc.Groups[:2] // key and edge
			show.Safety.Floor.On = ""
		},
		"a lamp more": func(show *cues.Show) {
			loc := show.Locations[0]
			k := builtin(t, "k9", "tube-rgbww-4ft", "2-cell-16-bit")
			l := &cues.RigLamp{ID: "lane-9", Lamp: k, Place: cues.Point{9, 2, 0}, Along: cues.Point{1, 0, 0}, Address: cues.Address{Port: 4, Slot: 101}}
			loc.Rig = append(loc.Rig, l)
			g := loc.Group("edge")
			g.Members = append(g.Members, cues.Member{Lamp: l, Last: 1})
		},
		"a type": func(show *cues.Show) {
			r := show.Locations[0].Rig[0]
			r.Lamp = builtin(t, "k1", "puck-rgbw", "16-bit")
			r.Address.Slot = 301
			show.Locations[0].Group("key").Members[0].Last = 0
		},
		"a name":          func(show *cues.Show) { show.Locations[0].Rig[0].ID = "main" },
		"the floor light": func(show *cues.Show) { show.Safety.Floor.Level = 0.5 },
		"a character": func(show *cues.Show) {
			show.Cast[0].Colours[0].Colour = cues.Colour{Form: colour.HueSat{Hue: 200, Sat: 0.9}}
		},
		"the balance": func(show *cues.Show) { show.Camera.Balance = 5600 },
		"a group": func(show *cues.Show) {
			g := show.Locations[0].Group("edge")
			slices.Reverse(g.Members)
		},
		"the tempo": func(show *cues.Show) { show.Tempo.BPM = 90 },
		"the place": func(show *cues.Show) { show.Locations[0].Rig[1].Place[1] = 3 },
	} {
		t.Run(name, func(t *testing.T) {
			onNetwork(t, func(s *set, w *network) {
				s.pass(time.Second)
				before := w.holding()
				show := testShow(t)
				edit(show)
				shows := []*cues.Show{s.show, show}
				s.change(true, edit)
				s.calm(w, shows, time.Second, 0)
				s.settledAs(w, shows, "warden")
				if name == "a name" || name == "the tempo" || name == "the place" {
					require.Equal(t, before, w.holding())
				}
				s.change(true, nothing)
				s.calm(w, shows, time.Second, 0)
				s.settledAs(w, shows, "warden")
			})
		})
	}
}

// Blind, lamps that are there still have what they had, wherever they are now; a new
// one is dark, and one of another type has the look.
func TestTheRigChangesBlind(t *testing.T) {
	onNetwork(t, func(s *set, w *network) {
		s.pass(time.Second)
		was := w.holding()[1]
		edit := func(show *cues.Show) {
			readdress(show)
			show.Look(nil, "warden").Paint[0].Level.Value = 0.9
			show.Look(nil, "warden").Paint[1].Level.Value = 0.9
			loc := show.Locations[0]
			l := &cues.RigLamp{ID: "lane-9", Lamp: builtin(t, "k9", "tube-rgbww-4ft", "2-cell-16-bit"), Address: cues.Address{Port: 4, Slot: 1}}
			loc.Rig = append(loc.Rig, l)
			loc.Group("edge").Members = append(loc.Group("edge").Members, cues.Member{Lamp: l, Last: 1})
		}
		s.change(false, edit)
		s.pass(time.Second)
		now := w.holding()
		key := s.show.Locations[0].Rig[0].Lamp.Mode.Footprint
		require.Equal(t, was[:key], now[1][199:199+key])
		require.Equal(t, make([]byte, key), now[1][:key])
		for at, v := range lit([]*cues.Show{s.show}, now) {
			require.False(t, at[0] == 4 && v > 0, "the new lamp is dark")
		}
		require.True(t, s.warned("look-outdated"))
		require.NoError(t, s.Cue(look("warden")))
		s.pass(time.Second)
		s.settledAs(w, []*cues.Show{s.show}, "warden")
	})
}

// Random edits of everything at random moments of random cues: nothing jumps, no frame
// is lost, and in the end the set is what the show says.
func TestRandomEditsInTheMiddleOfFades(t *testing.T) {
	onNetwork(t, func(s *set, w *network) {
		r := rand.New(rand.NewPCG(61, 62))
		shows := []*cues.Show{s.show}
		s.pass(time.Second)
		for range 60 {
			edit := randomEdit(r)
			show := testShow(t)
			edit(show)
			shows = append(shows, show)
			switch r.IntN(5) {
			case 0:
				fade := session.CueRequest{Target: session.Target{Look: []string{"warden", "tide", "night"}[r.IntN(3)]}, Fade: "3 s", Path: "straight"}
				require.NoError(t, s.Cue(fade))
			case 1:
				_ = s.Hold() // refused when nothing runs
			case 2:
				_ = s.Resume()
			}
			s.calm(w, shows, time.Duration(r.IntN(400))*time.Millisecond, 1.0/2)
			s.change(r.IntN(4) > 0, edit)
			s.calm(w, shows, time.Duration(r.IntN(400))*time.Millisecond, 1.0/2)
		}
		s.change(true, nothing)
		require.NoError(t, s.Cue(session.CueRequest{Target: session.Target{Look: "tide"}, Fade: "1 s"}))
		s.pass(2 * time.Second)
		s.settledAs(w, shows, "tide")
	})
}

// randomEdit draws an edit that can be made again of another copy of the show.
func randomEdit(r *rand.Rand) func(*cues.Show) {
	level, hue, slot, port, some := r.Float64(), r.Float64()*360, 1+2*r.IntN(100), uint16(1+r.IntN(4)), r.IntN(6)
	return func(show *cues.Show) {
		loc := show.Locations[0]
		show.Looks[0].Paint[1].Level.Value = level
		show.Cast[1].Colours[0].Colour = cues.Colour{Form: colour.HueSat{Hue: hue, Sat: 0.9}}
		switch some {
		case 0:
			loc.Rig[0].Address = cues.Address{Port: port + 10, Slot: slot}
		case 1:
			for _, l := range loc.Rig {
				l.Address.Port = port
			}
		case 2:
			show.Safety.Floor.Level = colour.Level(level / 4)
		case 3:
			loc.Groups = slices.DeleteFunc(loc.Groups, func(g *cues.Group) bool { return g.Name == "key" })
			loc.Rig = loc.Rig[1:]
		case 4:
			show.Looks = show.Looks[:3]
			loc.Cues = loc.Cues[:2]
		}
	}
}

// The light of a place that light falls in as before is not asked for again; that of
// another is, and what is on waits for it.
func TestAChangeKeepsTheLight(t *testing.T) {
	measured := func(show *cues.Show) {
		tide := show.Look(nil, "tide")
		tide.Paint = append(tide.Paint, cues.Paint{On: "key", Level: cues.Level{Kind: cues.Lux, Value: 2, Mark: "a"}})
	}
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		l.stages <- bright
		s.tick()
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.005)
		s.change(true, func(show *cues.Show) { measured(show); show.Look(nil, "tide").Paint[0].Level.Value = 4 })
		s.pass(time.Second)
		require.Equal(t, []string{"deep-end"}, l.asked, "the place is the same")
		require.Equal(t, "bounced", s.State().Light.Stage)
		require.InEpsilon(t, 400, s.keyLumens(), 0.005)

		moved := func(show *cues.Show) { measured(show); show.Locations[0].Rig[0].Place[2] = 2 }
		s.change(true, moved)
		s.pass(time.Second)
		require.Equal(t, []string{"deep-end", "deep-end"}, l.asked)
		require.Equal(t, "computing", s.State().Light.Stage)
		require.InEpsilon(t, 400, s.keyLumens(), 0.005, "what is measured stays until it can be")
		l.stages <- bright
		s.tick()
		require.True(t, s.warned("look-outdated"))
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.005)
	})
	// An edit while the light is computed does not begin it anew.
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		s.change(true, func(show *cues.Show) { measured(show); dimKey(show) })
		require.Equal(t, []string{"deep-end"}, l.asked)
		l.stages <- bright
		s.tick()
		require.Equal(t, "bounced", s.State().Light.Stage)
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.005)
	})
}
