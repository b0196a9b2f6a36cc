package cues_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
)

func TestSlips(t *testing.T) {
	for _, tt := range []struct {
		a, b, source string
		want         int
	}{
		{"kitten", "sitting", "the textbook pair for Levenshtein's distance", 3},
		{"saturday", "sunday", "the textbook pair for Levenshtein's distance", 3},
		{"ca", "abc", "optimal string alignment gives 3 where unrestricted Damerau-Levenshtein gives 2 (from memory)", 3},
		{"form", "from", "one swap", 1},
		{"edge", "egde", "one swap", 1},
		{"", "abc", "three letters added", 3},
		{"same", "same", "nothing", 0},
		{"café", "cafe", "letters, not bytes", 1},
	} {
		require.Equal(t, tt.want, cues.Slips(tt.a, tt.b), "%s > %s: %s", tt.a, tt.b, tt.source)
		require.Equal(t, tt.want, cues.Slips(tt.b, tt.a), "and back: %s", tt.source)
	}
}

func TestNearest(t *testing.T) {
	keys := []string{"look", "fade", "delay", "curve", "path", "spread", "after", "dark", "note"}
	for word, want := range map[string]string{
		"fadee":                    "fade",
		"Fade":                     "fade",
		"dleay":                    "delay",
		"sperad":                   "spread",
		"loook":                    "look",
		"brightness":               "",
		"x":                        "",
		"":                         "",
		strings.Repeat("fade", 99): "",
	} {
		require.Equal(t, want, cues.Nearest(word, keys), word)
	}
	require.Equal(t, "colour", cues.Nearest("color", []string{"colours", "colour", "level"}))
	require.Equal(t, "T1", cues.Nearest("T3", []string{"T1", "T2"}), "the first of equally near ones")
	require.Empty(t, cues.Nearest("a", nil))
}
