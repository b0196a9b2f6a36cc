package showfile_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

func TestParseColour(t *testing.T) {
	for text, want := range map[string]colour.Form{
		"3200 K":                              colour.White{CCT: colour.CCT{T: 3200}},
		" 3200K ":                             colour.White{CCT: colour.CCT{T: 3200}},
		"{cct: 4300, tint: -0.003}":           colour.White{CCT: colour.CCT{T: 4300, Duv: -0.003}},
		"{hue: 32, sat: 92%}":                 colour.HueSat{Hue: 32, Sat: 0.92},
		"{sat: 33.3%, hue: 32 deg}":           colour.HueSat{Hue: 32, Sat: 0.333},
		"hue: 32\nsat: 92%":                   colour.HueSat{Hue: 32, Sat: 0.92},
		"{xy: [0.31, 0.33]}":                  colour.Chroma{XY: colour.XY{X: 0.31, Y: 0.33}},
		"{uv: [0.2, 0.47]}":                   colour.ChromaUV{UV: colour.UV{U: 0.2, V: 0.47}},
		"{shift: +131 mired, from: 5600 K}":   colour.Shift{By: 131, From: 5600},
		"{shift: -20, from: 5600}":            colour.Shift{By: -20, From: 5600},
		"{nm: 520, purity: 80%}":              colour.Dominant{NM: 520, Purity: 0.8},
		`{css: "oklch(0.7 0.15 30)"}`:         colour.CSS{Text: "oklch(0.7 0.15 30)"},
		"{css: 'color(rec2020 0.1 0.2 0.3)'}": colour.CSS{Text: "color(rec2020 0.1 0.2 0.3)"},
	} {
		got, p := showfile.ParseColour(text)
		require.Nil(t, p, text)
		require.Equal(t, want, got, text)
	}
}

func TestParseColourRefuses(t *testing.T) {
	for text, code := range map[string]string{
		"":                           cues.CodeEmptyValue,
		"#ff8800":                    cues.CodeEmptyValue, // a YAML comment
		"3200":                       cues.CodeBadUnit,
		"900 K":                      cues.CodeOutOfRange,
		"warden.lead":                cues.CodeBadColour,
		"oklch(0.7 0.15 30)":         cues.CodeBadColour,
		"[0.3, 0.3]":                 cues.CodeBadColour,
		"{hue: 32}":                  cues.CodeMissingKey,
		"{hue: 32, sat: 92%, nm: 5}": cues.CodeBadColour,
		"{hue: 32, sat: 92%, x: 5}":  cues.CodeUnknownKey,
		"{hue: 32, sat: 92%":         cues.CodeYAMLSyntax,
		"{xy: [0.3]}":                cues.CodeWrongShape,
		"&a {hue: 1, sat: 1%}":       cues.CodeYAMLAnchor,
	} {
		form, p := showfile.ParseColour(text)
		require.NotNil(t, p, text)
		require.Nil(t, form, text)
		require.Equal(t, code, p.Code, "%s: %v", text, p)
	}
	_, p := showfile.ParseColour("{hue: 32, sat: 0.92}")
	require.Equal(t, `1:16: "0.92" has no unit for sat: it is in %; write 92%`, p.Error()[1:])
}

func TestParseLevel(t *testing.T) {
	for text, want := range map[string]cues.Level{
		"40%":                         {Kind: cues.Share, Value: 0.4},
		"100 %":                       {Kind: cues.Share, Value: 1},
		"33.3%":                       {Kind: cues.Share, Value: 0.333},
		"-2 stops":                    {Kind: cues.StopsFromFull, Value: -2},
		"-1 stop":                     {Kind: cues.StopsFromFull, Value: -1},
		"-1.5  stops under  key at a": {Kind: cues.StopsUnder, Value: -1.5, Group: "key", Mark: "a"},
		"120 lx at a":                 {Kind: cues.Lux, Value: 120, Mark: "a"},
	} {
		got, p := showfile.ParseLevel(text)
		require.Nil(t, p, text)
		require.Equal(t, want, got, text)
	}
	for text, code := range map[string]string{
		"40": cues.CodeBadLevel, "": cues.CodeBadLevel, "101%": cues.CodeOutOfRange, "-1%": cues.CodeOutOfRange, "1 stops": cues.CodeOutOfRange,
		"-21 stops": cues.CodeOutOfRange, "1 stops under key at a": cues.CodeBadLevel, "-1 stops under key": cues.CodeBadLevel,
		"-1 stops over key at a": cues.CodeBadLevel, "120 lx": cues.CodeBadLevel, "-1 lx at a": cues.CodeOutOfRange, "40 percent": cues.CodeBadLevel, "40% at a": cues.CodeBadLevel,
	} {
		_, p := showfile.ParseLevel(text)
		require.NotNil(t, p, text)
		require.Equal(t, code, p.Code, text)
	}
}

func TestParseDuration(t *testing.T) {
	for text, want := range map[string]cues.Duration{
		"4 s":                  {Amount: 4, Unit: cues.Seconds},
		"4s":                   {Amount: 4, Unit: cues.Seconds},
		".5 s":                 {Amount: 0.5, Unit: cues.Seconds},
		"250 ms":               {Amount: 250, Unit: cues.Milliseconds},
		"1 frame":              {Amount: 1, Unit: cues.Frames},
		"8 beats on screen":    {Amount: 8, Unit: cues.Beats, OnScreen: true},
		"2  bars  on  screen ": {Amount: 2, Unit: cues.Bars, OnScreen: true},
	} {
		got, p := showfile.ParseDuration(text)
		require.Nil(t, p, text)
		require.Equal(t, want, got, text)
	}
	for text, code := range map[string]string{
		"": cues.CodeBadTime, "4": cues.CodeBadTime, "s": cues.CodeBadTime, "4 fortnights": cues.CodeBadTime, "4 s off screen": cues.CodeBadTime,
		"4 on screen": cues.CodeBadTime, "-4 s": cues.CodeOutOfRange, "1e3 s": cues.CodeBadTime, "90000 s": cues.CodeTimeTooLong, "NaN s": cues.CodeBadTime,
	} {
		_, p := showfile.ParseDuration(text)
		require.NotNil(t, p, text)
		require.Equal(t, code, p.Code, text)
	}
	_, p := showfile.ParseDuration("4 seconds")
	require.Equal(t, "write 4 s", p.Mend)
}

func TestExcerpt(t *testing.T) {
	src := []byte("\ufefftitle: Tidewater\r\ncast:\n\tx: é{\x1b[31m\n")
	for _, tt := range []struct {
		line, column int
		want         string
	}{
		{1, 8, "   1 | title: Tidewater\n     |        ^\n"},
		{2, 1, "   2 | cast:\n     | ^\n"},
		{3, 6, "   3 |  x: é{ [31m\n     |      ^\n"},
		{2, 99, "   2 | cast:\n     |      ^\n"},
		{9, 1, ""},
		{0, 0, ""},
	} {
		require.Equal(t, tt.want, showfile.Excerpt(src, cues.Pos{Line: tt.line, Column: tt.column}))
	}
}

// Of a long line the part round the column is shown, the caret still under it.
func TestExcerptLongLine(t *testing.T) {
	long := strings.Repeat("abcdefghij", 500)
	for _, column := range []int{1, 2, 74, 76, 77, 150, 4001, 4950, 5000} {
		lines := strings.Split(showfile.Excerpt([]byte(long), cues.Pos{Line: 1, Column: column}), "\n")
		require.Len(t, lines, 3)
		require.Less(t, len(lines[0]), 120)
		caret := strings.IndexByte(lines[1], '^')
		require.Equal(t, long[column-1], lines[0][caret], "column %d", column)
	}
}
