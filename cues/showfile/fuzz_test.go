package showfile_test

import (
	"slices"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// FuzzLoad reads shows whose files are any bytes: it never panics, and what it
// finds wrong always has a place that exists, a reason and a mend.
func FuzzLoad(f *testing.F) {
	sound := base(f)
	show, kit, loc := sound["show.yaml"].Data, sound["kit.yaml"].Data, sound["locations/deep-end.yaml"].Data
	archive, err := txtar.ParseFile("testdata/lamp-type.txtar")
	require.NoError(f, err)
	f.Add(show, kit, archive.Files[1].Data, loc)
	for _, file := range []string{"readings", "bad-readings"} {
		archive, err := txtar.ParseFile("testdata/" + file + ".txtar")
		require.NoError(f, err)
		f.Add(show, archive.Files[0].Data, []byte(""), loc)
	}
	for _, file := range []string{"set-pieces", "bad-set", "bad-mesh"} {
		archive, err := txtar.ParseFile("testdata/" + file + ".txtar")
		require.NoError(f, err)
		f.Add(show, kit, []byte(""), archive.Files[0].Data)
	}
	for _, file := range []string{"movements", "bad-movements"} {
		archive, err := txtar.ParseFile("testdata/" + file + ".txtar")
		require.NoError(f, err)
		f.Add(archive.Files[0].Data, kit, []byte(""), loc)
	}
	for _, odd := range []string{
		"", "\n", "{", "[[[[", "- - - - -", "a: b: c", "\t", "? : ?", "{? : }", "&a [*a]", "a: &a {b: *a}", "<<: {}", "!!map {}",
		"\xff\xfe", "\ufefftitle: x", "--- a\n--- b", "'", "\"\\x", "|\n x", "%YAML 9.9\n---\n", "a: 1\r\nb: 2\r\n", "{a: {b: {c: {d: 1}}}}",
		"rig: {x: {lamp: T1, at: [0, 0, 0], along: [1,0,0], address: 0:0:1.001}}\ngroups: {g: [x..y9, T1..T9 cells 9-1]}", "...\n",
		"outputs: [{over: sacn, universes: [0:0:1..0:0:9], to: [10.0.0.1], sync: 7}, {over: art-net, to: broadcast}, {}, [], a]", "#", "key: >-\n", "\u2028a: b",
	} {
		f.Add([]byte(odd), kit, []byte(odd), loc)
		f.Add(show, []byte(odd), []byte(""), []byte(odd))
	}
	f.Fuzz(func(t *testing.T, show, kit, lamp, loc []byte) {
		fsys := fstest.MapFS{
			"show.yaml":               {Data: show},
			"kit.yaml":                {Data: kit},
			"lamps/lantern.yaml":      {Data: lamp},
			"locations/deep-end.yaml": {Data: loc},
			"things/wedge.obj":        {Data: []byte("v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n")},
			"things/broken.obj":       {Data: []byte("v 0 0 0\nf 1 2 3\nf 1\n")},
		}
		s, problems := showfile.LoadFS(fsys, "fuzz")
		requireWellFormed(t, fsys, problems)
		require.True(t, s != nil || problems.HasErrors())
		if s != nil && !problems.HasErrors() {
			requireSound(t, s)
		}
	})
}

// requireSound checks what whoever compiles a show without errors relies on.
func requireSound(t testing.TB, s *cues.Show) {
	require.Greater(t, s.Timeline, 0.0)
	require.Greater(t, s.Camera.FPS, 0.0)
	_, err := colour.CCT{T: s.Camera.Balance}.XY()
	require.NoError(t, err)
	require.NotEmpty(t, s.Locations)
	for _, k := range s.Kit {
		require.NotNil(t, k.Type)
		require.NotNil(t, k.Mode)
		require.Empty(t, k.Type.Validate())
	}
	for _, l := range s.Locations {
		for _, piece := range l.Set {
			low, high := piece.Shape.Bounds()
			for i := range low {
				require.LessOrEqual(t, low[i], high[i])
				require.Less(t, high[i]-low[i], 3001.0)
			}
		}
		for _, in := range l.StandIns {
			require.Greater(t, in.HeightM, 0.0)
			facing := l.Facing(&in)
			require.False(t, facing[0] == in.Place[0] && facing[1] == in.Place[1])
		}
		for _, u := range l.Setups {
			require.Greater(t, s.Shot(u).SensorWidthMM, 0.0)
		}
		taken := map[[2]int]string{}
		for _, r := range l.Rig {
			require.NotNil(t, r.Lamp)
			for slot := r.Address.Slot; slot < r.Address.Slot+r.Lamp.Mode.Footprint; slot++ {
				require.LessOrEqual(t, slot, 512)
				require.Empty(t, taken[[2]int{int(r.Address.Port), slot}])
				taken[[2]int{int(r.Address.Port), slot}] = r.ID
			}
		}
		for _, o := range l.Outputs {
			requireSoundOutput(t, l, o)
		}
		for _, g := range l.Groups {
			require.NotEmpty(t, g.Members)
			for _, m := range g.Members {
				require.True(t, 0 <= m.First && m.First <= m.Last && m.Last < m.Lamp.Lamp.Mode.Cells)
			}
		}
		for _, c := range l.Cues {
			require.NotNil(t, s.Look(l, c.Look))
			_, err := c.Fade.Real(s.Clock(l))
			require.NoError(t, err)
		}
		for _, name := range s.LookNames(l) {
			for _, p := range s.Look(l, name).Paint {
				requireSoundMotion(t, s, l, p)
			}
			line := s.Lineage(l, s.Look(l, name))
			require.Empty(t, line[0].From, "the first look of a lineage starts dark")
		}
	}
}

func requireSoundMotion(t testing.TB, s *cues.Show, l *cues.Location, p cues.Paint) {
	m := p.Moves
	if m == nil || m.Kind == cues.NoMotion || l.Group(p.On) == nil {
		return
	}
	require.Contains(t, append(cues.Waves(), cues.Noises()...), string(m.Kind))
	require.True(t, m.Between == cues.BetweenLevels || len(p.Colours) == 2)
	require.True(t, m.Depth >= 0 && m.Depth <= 1 && m.Phase >= 0 && m.Phase <= 1 && m.Duty >= 0 && m.Duty < 1)
	for _, d := range []cues.Duration{m.Period, m.Spread.Time} {
		_, err := d.Real(s.Clock(l))
		require.NoError(t, err)
	}
}

func requireSoundOutput(t testing.TB, l *cues.Location, o *cues.Output) {
	require.Contains(t, []cues.Protocol{cues.ArtNet, cues.SACN}, o.Over)
	require.True(t, slices.IsSorted(o.Universes))
	require.True(t, o.Universes == nil || len(o.Universes) > 0)
	for _, to := range o.To {
		require.True(t, to.Addr().Is4() && !to.Addr().IsMulticast() && !to.Addr().IsUnspecified())
	}
	if o.Over == cues.SACN {
		require.True(t, 0 <= o.Priority && o.Priority <= 200 && 0 <= o.TTL && o.TTL <= 255)
		for _, port := range l.Ports() {
			_, ok := o.SACNUniverse(port)
			require.True(t, ok || !o.Carries(port))
		}
	}
}

// FuzzParseColour parses a colour, writes it and reads it again: it must be
// the same. What is refused says how to mend it.
func FuzzParseColour(f *testing.F) {
	for _, text := range []string{
		"3200 K", "{cct: 4300 K, tint: 0.01}", "{cct: 4300}", "{hue: 32, sat: 92%}", "{hue: 0, sat: 33.3%}", "{xy: [0.31, 0.33]}",
		"{uv: [0.2, 0.47]}", "{shift: +131 mired, from: 5600 K}", "{shift: -20 mired, from: 3200 K}", "{nm: 520, purity: 80%}",
		"{nm: -550, purity: 7%}", `{css: "oklch(0.7 0.15 30)"}`, `{css: "#ff8800"}`, `{css: "\"\n'"}`, "{css: red}", "lead", "warden.lead",
		"", "#fff", "3200", "3200 k", "{hue: 32}", "{hue: -1, sat: 5%}", "[1, 2]", "{", "{xy: [1, 1, 1]}", "*a", "!!int 3", "{hue: &a 3, sat: *a}",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		form, p := showfile.ParseColour(text)
		if p != nil {
			require.Nil(t, form)
			requireMend(t, p)
			return
		}
		back, p := showfile.ParseColour(form.String())
		require.Nil(t, p, "%q was read as %s, which is not read", text, form)
		require.Equal(t, form, back, "%q was read as %s", text, form)
	})
}

// FuzzParseLevel: see FuzzParseColour.
func FuzzParseLevel(f *testing.F) {
	for _, text := range []string{
		"40%", "0%", "100 %", "33.3%", "0.1%", "-2 stops", "-1 stop", "0 stops", "-0%", "-1.5 stops under key at a", "+1 stops under key at a",
		"0 stops under key at a", "120 lx at a", "0.5 lx at walk", "1e2%", "40", "1 stops", "lx", "", "140%", "-1 stops under a b at c", "1,5%", "0x10%",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		level, p := showfile.ParseLevel(text)
		if p != nil {
			require.True(t, level.IsZero())
			requireMend(t, p)
			return
		}
		back, p := showfile.ParseLevel(level.String())
		require.Nil(t, p, "%q was read as %s, which is not read", text, level)
		require.Equal(t, level, back, "%q was read as %s", text, level)
	})
}

// FuzzParseDuration: see FuzzParseColour. What is read is a real time by any
// clock.
func FuzzParseDuration(f *testing.F) {
	for _, text := range []string{
		"4 s", "4s", "250 ms", "48 frames", "1 frame", "8 beats", "2 bars", "1 bar", "4 s on screen", "0.5 bars on screen", "0 s",
		"-4 s", "4", "4 seconds", "4 S", "", "s", "on screen", "4 on screen", "90000 s", "1e9 s", "4 s on  screen", ".5 s", "5. s", "4 sec",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, p := showfile.ParseDuration(text)
		if p != nil {
			require.True(t, d.IsZero())
			requireMend(t, p)
			return
		}
		back, p := showfile.ParseDuration(d.String())
		require.Nil(t, p, "%q was read as %s, which is not read", text, d)
		require.Equal(t, d, back, "%q was read as %s", text, d)
		if real, err := d.Real(cues.Clock{Capture: 24, Timeline: 24, Tempo: cues.Tempo{BPM: 120, BeatsPerBar: 4}}); err != nil {
			require.ErrorContains(t, err, "longer than a day")
		} else {
			require.GreaterOrEqual(t, real, 0*real)
		}
	})
}

func requireMend(t *testing.T, p *cues.Problem) {
	require.NotEmpty(t, p.What)
	require.NotEmpty(t, p.Why)
	require.NotEmpty(t, p.Mend)
	require.NotEmpty(t, cues.Explain(p.Code))
	require.Equal(t, cues.Error, p.Severity)
}

// FuzzParseLook reads what stands behind the name of a look: what is read has that name and
// paints of something, and what is refused says how to mend it.
func FuzzParseLook(f *testing.F) {
	for _, text := range []string{
		"{from: warden, wears: tide}", "{paint: [{on: key, colour: 3200 K, level: 30%}]}", "paint:\n  - {on: edge, pattern: halves, colours: [lead, second], level: 4%}\nnote: x",
		"{paint: [{on: air, set: {output: 30%}}, {on: key, level: -2 stops}]}", "{policy: truest, paint: [{on: key, moves: {wave: sine, period: 4 s}}]}",
		"{}", "", "[]", "x", "{from: }", "{paint: {}}", "{paint: [{}]}", "&a {from: *a}", "a: 1\na: 2", "---\n{}\n---\n{}", "{paint: [{on: key, level: 140%}]}",
	} {
		f.Add("dawn", text)
	}
	f.Fuzz(func(t *testing.T, name, text string) {
		look, problems := showfile.ParseLook(name, text)
		for _, p := range problems {
			requireMend(t, p)
		}
		if look == nil {
			return
		}
		require.Equal(t, name, look.Name)
		require.False(t, problems.HasErrors())
		for _, p := range look.Paint {
			require.NotEmpty(t, p.On)
		}
	})
}
