package rigcheck_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/rigcheck"
)

var (
	small = &lamp.Mode{Name: "1-cell", Footprint: 4}
	large = &lamp.Mode{Name: "16-cell-16-bit", Footprint: 64}
	tubes = &lamp.Type{Name: "tube", Title: "Tube 4 ft", Modes: []*lamp.Mode{small, large}}
	spots = &lamp.Type{Name: "spot", Modes: []*lamp.Mode{small}}
)

// plan is a show with one location: lamps as "place=lamp type port.slot uid".
func plan(lines ...string) (*cues.Show, *cues.Location) {
	show, loc := &cues.Show{}, &cues.Location{Name: "here"}
	for _, line := range lines {
		var place, id, kind, uid string
		var port uint16
		var slot int
		n, _ := fmt.Sscanf(strings.Replace(line, "=", " ", 1), "%s %s %s %d.%d %s", &place, &id, &kind, &port, &slot, &uid)
		if n < 3 {
			panic(line)
		}
		k := &cues.KitLamp{ID: id, Type: tubes, Mode: large, UID: uid}
		if kind == "spot" {
			k.Type, k.Mode = spots, small
		}
		show.Kit = append(show.Kit, k)
		if port > 0 {
			loc.Rig = append(loc.Rig, &cues.RigLamp{ID: place, Lamp: k, Address: cues.Address{Port: port, Slot: slot}})
		}
	}
	return show, loc
}

// tube is a found tube, set as a plan of port 1 slot start wants it.
func tube(uid string, start int, change ...func(*rigcheck.Device)) rigcheck.Device {
	d := rigcheck.Device{
		UID: uid, Node: "192.0.2.21", Port: 1, Asked: true, Start: start, Footprint: 64, Personality: 2,
		Personalities: []rigcheck.Personality{{Number: 1, Slots: 4, Text: "1 cell"}, {Number: 2, Slots: 64, Text: "16-cell 16 bit"}, {Number: 3, Slots: 64, Text: "other"}},
		TakesLabel:    true, Model: "Tube 4 ft", Maker: "Prototype",
	}
	for _, c := range change {
		c(&d)
	}
	return d
}

func label(text string) func(*rigcheck.Device) { return func(d *rigcheck.Device) { d.Label = text } }
func port(p uint16) func(*rigcheck.Device)     { return func(d *rigcheck.Device) { d.Port = p } }
func personality(n int) func(*rigcheck.Device) {
	return func(d *rigcheck.Device) { d.Personality, d.Footprint = n, d.Personalities[n-1].Slots }
}

// told writes rows as "place lamp uid by: kinds; change".
func told(rows []rigcheck.Row) (all []string) {
	or := func(s string) string {
		if s == "" {
			return "-"
		}
		return s
	}
	for _, r := range rows {
		var kinds []string
		for _, f := range r.Findings {
			kinds = append(kinds, string(f.Kind))
		}
		text := fmt.Sprintf("%s %s %s %s: %s", or(r.Place), or(r.Lamp), or(r.UID), or(string(r.By)), strings.Join(kinds, " "))
		if r.Changes() {
			text += fmt.Sprintf("; set %d %d %q", r.Change.Personality, r.Change.Address, r.Change.Label)
		}
		all = append(all, text)
	}
	return all
}

func TestCompare(t *testing.T) {
	const u1, u2, u3 = "7FF1:00000001", "7FF1:00000002", "7FF1:00000003"
	for _, c := range []struct {
		what    string
		plan    []string
		devices []rigcheck.Device
		hand    map[string]string
		want    []string
	}{
		{
			"all right, by uid and by label", []string{"lane-1=T1 tube 1.1 " + u1, "lane-2=T2 tube 1.65"},
			[]rigcheck.Device{tube(u1, 1, label("T1")), tube(u2, 65, label("t-2"))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: right", "lane-2 T2 " + u2 + " label: right"},
		},
		{
			"wrong address, personality and label", []string{"lane-1=T1 tube 1.101 " + u1},
			[]rigcheck.Device{tube(u1, 7, personality(1))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-personality wrong-address wrong-label; set 2 101 \"T1\""},
		},
		{
			"a new personality may move the address, so it is set too", []string{"lane-1=T1 tube 1.101 " + u1},
			[]rigcheck.Device{tube(u1, 101, personality(1), label("T1"))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-personality; set 2 101 \"\""},
		},
		{
			"the uid stands before a label", []string{"lane-1=T1 tube 1.1 " + u1, "lane-2=T2 tube 1.65"},
			[]rigcheck.Device{tube(u1, 1, label("T2")), tube(u2, 65, label("T2"))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-label; set 0 0 \"T1\"", "lane-2 T2 " + u2 + " label: right"},
		},
		{
			"named by hand stands before all", []string{"lane-1=T1 tube 1.1 " + u1, "lane-2=T2 tube 1.65"},
			[]rigcheck.Device{tube(u1, 1, label("T1")), tube(u2, 65, label("T2")), tube(u3, 200)}, map[string]string{"T1": u3},
			[]string{
				"lane-1 T1 " + u3 + " by hand: wrong-address wrong-label; set 0 1 \"T1\"", "lane-2 T2 " + u2 + " label: right",
				"- - " + u1 + " -: unknown-device", "- - - -: overlap",
			},
		},
		{
			"a uid that is not there", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u2, 1)}, nil,
			[]string{"lane-1 T1 " + u1 + " -: not-found", "- - " + u2 + " -: unknown-device", "- - - -: overlap"},
		},
		{
			"two devices with one label: the one at the address", []string{"lane-1=T1 tube 1.1"},
			[]rigcheck.Device{tube(u1, 1, label("T1")), tube(u2, 200, label("T1"))}, nil,
			[]string{"lane-1 T1 " + u1 + " label: right", "- T1 " + u2 + " -: not-in-rig"},
		},
		{
			"two devices with one label, neither there", []string{"lane-1=T1 tube 1.1"},
			[]rigcheck.Device{tube(u1, 300, label("T1")), tube(u2, 200, label("T1"))}, nil,
			[]string{"lane-1 T1 - -: unsure", "- T1 " + u1 + " -: not-in-rig", "- T1 " + u2 + " -: not-in-rig"},
		},
		{
			"without uid or label: such a device at the address", []string{"lane-1=T1 tube 1.1", "lane-2=T2 tube 1.65"},
			[]rigcheck.Device{tube(u2, 65), tube(u1, 1)}, nil,
			[]string{"lane-1 T1 " + u1 + " address: wrong-label; set 0 0 \"T1\"", "lane-2 T2 " + u2 + " address: wrong-label; set 0 0 \"T2\""},
		},
		{
			"the only such device for the only such lamp", []string{"lane-1=T1 tube 1.1", "moon=S1 spot 1.100"},
			[]rigcheck.Device{tube(u1, 300)}, nil,
			[]string{"lane-1 T1 " + u1 + " model: wrong-address wrong-label; set 0 1 \"T1\"", "moon S1 - -: not-found"},
		},
		{
			"never by chance: two lamps for one device", []string{"lane-1=T1 tube 1.1", "lane-2=T2 tube 1.65"},
			[]rigcheck.Device{tube(u1, 300)}, nil,
			[]string{"lane-1 T1 - -: unsure", "lane-2 T2 - -: unsure", "- - " + u1 + " -: unknown-device"},
		},
		{
			"never by chance: two devices as they leave the box", []string{"lane-1=T1 tube 1.1"},
			[]rigcheck.Device{tube(u1, 300), tube(u2, 300)}, nil,
			[]string{"lane-1 T1 - -: unsure", "- - " + u1 + " -: unknown-device", "- - " + u2 + " -: unknown-device", "- - - -: overlap"},
		},
		{
			"a lamp of the kit that does not stand here is not taken for one that does", []string{"lane-1=T1 tube 1.1", "x=T9 tube 0.0 " + u2},
			[]rigcheck.Device{tube(u2, 300)}, nil,
			[]string{"lane-1 T1 - -: not-found", "- T9 " + u2 + " -: not-in-rig"},
		},
		{
			"on another line", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 9, port(2), label("T1"), personality(1))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-universe"},
		},
		{
			"no personality of that size", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 1, label("T1"), func(d *rigcheck.Device) {
				d.Personalities, d.Personality, d.Footprint = d.Personalities[:1], 1, 4
			})}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: no-personality"},
		},
		{
			"several of that size and none of that name: the current one will do", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 1, label("T1"), func(d *rigcheck.Device) { d.Personalities[1].Text = "b"; d.Personality = 3 })}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: right"},
		},
		{
			"several of that size, none of that name, and the current one is none", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 1, label("T1"), func(d *rigcheck.Device) { d.Personalities[1].Text = "b" }, personality(1))}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: no-personality"},
		},
		{
			"a device that tells no personalities is judged by its footprint", []string{"lane-1=T1 tube 1.1 " + u1, "lane-2=T2 tube 1.65 " + u2},
			[]rigcheck.Device{
				tube(u1, 1, label("T1"), func(d *rigcheck.Device) { d.Personalities = nil }),
				tube(u2, 65, label("T2"), personality(1), func(d *rigcheck.Device) { d.Personalities = nil }),
			}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: right", "lane-2 T2 " + u2 + " uid: no-personality"},
		},
		{
			"listed and silent", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{{UID: u1, Port: 1, Trouble: "no answer"}, {UID: u2, Port: 1, Trouble: "no answer"}}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: no-answer", "- - " + u2 + " -: no-answer"},
		},
		{
			"a device that keeps no label", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 1, func(d *rigcheck.Device) { d.TakesLabel = false })}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: right"},
		},
		{
			"an unknown device on the slots of a lamp that was moved away", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 200, label("T1")), tube(u2, 200)}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-address; set 0 1 \"\"", "- - " + u2 + " -: unknown-device"},
		},
		{
			"an unknown device on the slots that a lamp is moved to", []string{"lane-1=T1 tube 1.1 " + u1},
			[]rigcheck.Device{tube(u1, 200, label("T1")), tube(u2, 60)}, nil,
			[]string{"lane-1 T1 " + u1 + " uid: wrong-address; set 0 1 \"\"", "- - " + u2 + " -: unknown-device", "- - - -: overlap"},
		},
		{"nothing found at all", []string{"lane-1=T1 tube 1.1"}, nil, nil, []string{"lane-1 T1 - -: not-found"}},
	} {
		t.Run(c.what, func(t *testing.T) {
			show, loc := plan(c.plan...)
			rows := rigcheck.Compare(show, loc, c.devices, c.hand)
			require.Equal(t, c.want, told(rows))
			for _, r := range rows {
				require.NotEmpty(t, r.Findings)
				for _, f := range r.Findings {
					require.NotEmpty(t, f.What)
					settled := f.Kind == rigcheck.Right || f.Kind == rigcheck.NotInRig || r.Changes()
					require.True(t, settled || f.Mend != "", "%s has no mend", f.Kind)
				}
			}
		})
	}
}

// Once what the rows say is done, nothing is left to do.
func TestChangesSettle(t *testing.T) {
	show, loc := plan("lane-1=T1 tube 1.1 7FF1:00000001", "lane-2=T2 tube 1.65 7FF1:00000002", "lane-3=T3 tube 1.129 7FF1:00000003")
	devices := []rigcheck.Device{tube("7FF1:00000001", 129, personality(1)), tube("7FF1:00000002", 1), tube("7FF1:00000003", 65, personality(3), label("T1"))}
	for _, r := range rigcheck.Compare(show, loc, devices, nil) {
		require.True(t, r.Changes())
		for i := range devices {
			d := &devices[i]
			if d.UID != r.UID {
				continue
			}
			if n := r.Change.Personality; n != 0 {
				d.Personality, d.Footprint = n, d.Personalities[n-1].Slots
			}
			if r.Change.Address != 0 {
				d.Start = r.Change.Address
			}
			if r.Change.Label != "" {
				d.Label = r.Change.Label
			}
		}
	}
	require.Equal(t, []string{"lane-1 T1 7FF1:00000001 uid: right", "lane-2 T2 7FF1:00000002 uid: right", "lane-3 T3 7FF1:00000003 uid: right"},
		told(rigcheck.Compare(show, loc, devices, nil)))
}

func TestWords(t *testing.T) {
	show, loc := plan("lane-1=T1 tube 1.1 7FF1:00000001")
	rows := rigcheck.Compare(show, loc, []rigcheck.Device{tube("7FF1:00000001", 9, personality(1))}, nil)
	require.Equal(t, []rigcheck.Finding{
		{Kind: rigcheck.WrongPersonality, What: "its personality is 1, set 2 for mode 16-cell-16-bit"},
		{Kind: rigcheck.WrongAddress, What: "it starts at slot 9, set 1"},
		{Kind: rigcheck.WrongLabel, What: `its label is "", set "T1"`},
	}, rows[0].Findings)
	rows = rigcheck.Compare(show, loc, []rigcheck.Device{tube("7FF1:00000009", 9, label("red"))}, nil)
	require.Equal(t, `7FF1:00000009 "red" (Prototype Tube 4 ft) at 0:0:1.009, node 192.0.2.21`, rows[1].Findings[0].What)
	require.Equal(t, "slots 1 to 72 of 0:0:1 are taken by lane-1, 7FF1:00000009", rows[2].Findings[0].What)
}
