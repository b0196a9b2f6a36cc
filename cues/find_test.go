package cues_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

func looks(names ...string) []*cues.Look {
	var out []*cues.Look
	for i := 0; i+2 < len(names); i += 3 {
		out = append(out, &cues.Look{Name: names[i], From: names[i+1], Wears: names[i+2]})
	}
	return out
}

func names(looks []*cues.Look) []string {
	var out []string
	for _, k := range looks {
		out = append(out, k.Name)
	}
	return out
}

func TestLookAtLocation(t *testing.T) {
	pier := &cues.Location{Name: "pier", Looks: looks("warden", "warden", "", "storm", "tide", "")}
	show := &cues.Show{
		Cast:      []*cues.Character{{Name: "warden"}, {Name: "tide"}},
		Looks:     looks("base", "", "", "warden", "base", "warden", "tide", "warden", "tide"),
		Locations: []*cues.Location{pier},
	}
	require.Same(t, pier.Looks[0], show.Look(pier, "warden"), "the location's own stands first")
	require.Same(t, show.Looks[1], show.Look(nil, "warden"))
	require.Nil(t, show.Look(pier, "nothing"))
	require.Equal(t, []string{"warden", "storm", "base", "tide"}, show.LookNames(pier))
	require.Equal(t, []string{"base", "warden", "tide"}, show.LookNames(nil))

	require.Same(t, show.Looks[1], show.Base(pier, pier.Looks[0]), "a look from its own name starts from the show's")
	line := show.Lineage(pier, pier.Looks[1])
	require.Equal(t, []string{"base", "warden", "warden", "tide", "storm"}, names(line))
	require.Same(t, pier.Looks[0], line[2], "a look of the show starts from the location's where it has one")
	require.Equal(t, "tide", show.Wears(pier, pier.Looks[1]).Name, "inherited")
	require.Equal(t, "warden", show.Wears(pier, pier.Looks[0]).Name)
	require.Nil(t, show.Wears(nil, show.Looks[0]))
}

func TestLineageCutsRings(t *testing.T) {
	show := &cues.Show{Looks: looks("a", "b", "", "b", "c", "", "c", "b", "", "self", "self", "", "lost", "nowhere", "")}
	require.Equal(t, []string{"c", "b", "a"}, names(show.Lineage(nil, show.Looks[0])))
	require.Equal(t, []string{"self"}, names(show.Lineage(nil, show.Looks[3])))
	require.Equal(t, []string{"lost"}, names(show.Lineage(nil, show.Looks[4])))
}

func TestFindByName(t *testing.T) {
	kit := &cues.KitLamp{ID: "T1", Mode: &lamp.Mode{Cells: 16}}
	rig := &cues.RigLamp{ID: "lane-1", Lamp: kit}
	loc := &cues.Location{
		Name:   "pier",
		Tempo:  cues.Tempo{BPM: 90, BeatsPerBar: 3},
		Rig:    []*cues.RigLamp{rig},
		Groups: []*cues.Group{{Name: "edge", Members: []cues.Member{{Lamp: rig, First: 0, Last: 7}, {Lamp: rig, First: 9, Last: 9}}}},
		Marks:  []cues.Mark{{Name: "a"}},
		Setups: []*cues.Setup{{Name: "wide"}},
	}
	show := &cues.Show{
		Timeline: 24, Camera: cues.Camera{FPS: 60}, Tempo: cues.Tempo{BPM: 120, BeatsPerBar: 4},
		Kit: []*cues.KitLamp{kit}, Locations: []*cues.Location{loc},
		Cast: []*cues.Character{{Name: "warden", Colours: []cues.NamedColour{{Name: "lead", Colour: cues.Colour{Cast: "x"}}}}},
	}
	require.Same(t, loc, show.Location("pier"))
	require.Nil(t, show.Location("dune"))
	require.Same(t, kit, show.KitLamp("T1"))
	require.Same(t, rig, loc.Lamp("lane-1"))
	require.Same(t, rig, loc.Lamp("T1"), "by the lamp that stands there")
	require.Nil(t, loc.Lamp("T2"))
	require.Equal(t, 9, loc.Group("edge").Cells())
	require.Nil(t, loc.Group("back"))
	require.Equal(t, "a", loc.Mark("a").Name)
	require.Nil(t, loc.Mark("b"))
	require.Equal(t, "wide", loc.Setup("wide").Name)
	require.Equal(t, "x", show.Character("warden").Colour("lead").Cast)
	require.True(t, show.Character("warden").Colour("third").IsZero())
	require.Equal(t, cues.Clock{Capture: 60, Timeline: 24, Tempo: loc.Tempo}, show.Clock(loc))
	require.Equal(t, cues.Clock{Capture: 60, Timeline: 24, Tempo: show.Tempo}, show.Clock(nil))
}

func TestText(t *testing.T) {
	require.Equal(t, "0:0:1.001", cues.Address{Port: 1, Slot: 1}.String())
	require.Equal(t, "127:15:14.512", cues.Address{Port: 0x7ffe, Slot: 512}.String())
	for want, l := range map[string]cues.Level{
		"40%":                       {Kind: cues.Share, Value: 0.4},
		"33.3%":                     {Kind: cues.Share, Value: 0.333},
		"-2 stops":                  {Kind: cues.StopsFromFull, Value: -2},
		"-1.5 stops under key at a": {Kind: cues.StopsUnder, Value: -1.5, Group: "key", Mark: "a"},
		"+1 stops under key at a":   {Kind: cues.StopsUnder, Value: 1, Group: "key", Mark: "a"},
		"120 lx at a":               {Kind: cues.Lux, Value: 120, Mark: "a"},
		"":                          {},
	} {
		require.Equal(t, want, l.String())
	}
}
