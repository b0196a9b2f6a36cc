package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// rooms is the picture of the house as a rule: each package and the packages
// of this module that it may import. Data flows one way. When a change needs
// another arrow, move the type, not the rule.
var rooms = map[string][]string{
	"colour":             {},
	"colour/spectra":     {"colour"},
	"colour/reference":   {},
	"colour/difference":  {"colour"},
	"colour/quality":     {"colour", "colour/spectra", "colour/difference"},
	"colour/table":       {},
	"colour/solid":       {},
	"colour/mesh":        {"colour/solid", "colour/table"},
	"colour/gobo":        {},
	"colour/transport":   {"colour/solid"},
	"colour/picture":     {"colour/solid", "colour/transport", "colour/camera", "colour/photometry"},
	"colour/photometry":  {"colour"},
	"colour/exposure":    {"colour/photometry"},
	"colour/flicker":     {"colour/photometry", "colour/exposure"},
	"colour/safety":      {"colour", "colour/spectra", "colour/photometry"},
	"colour/camera":      {"colour", "colour/spectra", "colour/table", "colour/photometry", "colour/quality"},
	"colour/recipe":      {"colour", "colour/spectra", "colour/emitters", "colour/lamp", "colour/camera"},
	"colour/calibrate":   {"colour", "colour/spectra", "colour/table", "colour/emitters", "colour/lamp"},
	"colour/emitters":    {"colour"},
	"colour/lamp":        {"colour", "colour/spectra", "colour/emitters"},
	"cues":               {"cues/timecode", "colour", "colour/exposure", "colour/photometry", "colour/lamp", "colour/recipe", "colour/camera", "colour/calibrate", "colour/mesh", "colour/gobo"},
	"cues/showfile":      {"cues", "cues/timecode", "colour", "colour/lamp", "colour/spectra", "colour/emitters", "colour/calibrate", "colour/camera", "colour/recipe", "colour/table", "colour/mesh", "colour/gobo"},
	"cues/track":         {},
	"cues/generator":     {"cues/track"},
	"cues/timecode":      {},
	"cues/take":          {"cues/timecode", "colour"},
	"cues/journal":       {"cues/take"},
	"cues/photo":         {"cues/take"},
	"cues/play":          {"cues/track"},
	"cues/play/rtwait":   {"cues/play"},
	"cues/compile":       {"cues", "cues/take", "cues/generator", "cues/track", "colour", "colour/emitters", "colour/lamp", "colour/recipe", "colour/camera", "colour/difference", "colour/safety"},
	"cues/stage":         {"cues", "cues/compile", "colour/camera", "colour/emitters", "colour/lamp", "colour/photometry", "colour/picture", "colour/solid", "colour/transport"},
	"cues/meter":         {"cues", "cues/compile", "cues/stage", "colour/camera", "colour/exposure", "colour/flicker", "colour/photometry", "colour/picture", "colour/safety", "colour/solid", "colour/transport"},
	"cues/session":       {"cues", "cues/take", "cues/timecode", "cues/showfile", "cues/compile", "cues/play", "cues/against", "cues/script", "cues/stage", "cues/track", "colour", "colour/camera", "colour/emitters", "colour/lamp"},
	"cues/script":        {"cues", "cues/compile", "cues/meter"},
	"cues/carry":         {"cues"},
	"cues/against":       {"cues", "cues/compile", "cues/take", "colour", "colour/lamp"},
	"cues/impact":        {"cues", "cues/compile", "cues/take"},
	"cues/metering":      {"cues/compile", "cues/meter", "cues/session", "colour/transport"},
	"cues/light":         {"cues", "cues/compile", "cues/meter", "cues/session", "cues/stage", "colour/transport"},
	"artnet":             {},
	"artnet/sacn":        {},
	"artnet/sacn/source": {"artnet/sacn", "artnet/peer"},
	"artnet/rdm":         {},
	"artnet/peer":        {},
	"artnet/outside":     {},
	"artnet/link":        {"artnet", "artnet/peer"},
	"artnet/outlet":      {"artnet", "artnet/link", "artnet/listen", "artnet/sacn", "artnet/sacn/source"},
	"artnet/fakenode":    {"artnet", "artnet/peer", "artnet/rdm", "artnet/rdm/discover", "artnet/rdm/responder"},
	"artnet/survey":      {"artnet", "artnet/link", "artnet/outlet"},
	"artnet/listen":      {"artnet", "artnet/sacn", "artnet/peer"},
	"ui":                 {},
	"ui/join":            {"ui"},
	"server":             {"cues", "cues/take", "cues/against", "cues/script", "cues/session", "cues/stage", "colour", "colour/camera", "ui", "server/osc"},
	"server/osc":         {},
	"cmd/linkboy":        {"*"},
	"cues/play/playtest": {"cues/play", "cues/track"},

	"artnet/rdm/responder":  {"artnet/rdm"},
	"artnet/rdm/discover":   {"artnet/rdm"},
	"artnet/rdm/controller": {"artnet", "artnet/rdm"},
	"cues/rigcheck":         {"cues"},

	"cues/showfile/inplace": {},
	"cues/showfile/edit":    {"cues", "cues/carry", "cues/showfile", "cues/showfile/inplace"},
	"cues/showfile/watch":   {},
}

// owners says which outside packages only some rooms may use, and why.
var owners = []struct {
	path, why string
	rooms     []string
}{
	{"gopkg.in/yaml.v3", "only cues/showfile knows YAML", []string{"cues/showfile", "cues/showfile/inplace"}},
	{"net/http", "only server speaks HTTP", []string{"server", "cmd/linkboy"}},
	{"github.com/gorilla/websocket", "only server speaks websocket", []string{"server"}},
	{"net", "only artnet and server own sockets", []string{"artnet/outside", "artnet/peer", "artnet/link", "artnet/fakenode", "server", "cmd/linkboy"}},
	{"github.com/fsnotify/fsnotify", "only the watch over a show's files hears of them", []string{"cues/showfile/watch"}},
	{"os/exec", "only cmd starts processes", []string{"artnet/outside", "cmd/linkboy"}},
	{"github.com/spf13/cobra", "only cmd reads flags", []string{"cmd/linkboy"}},
	{"database/sql", "only cues/journal knows SQL", []string{"cues/journal"}},
	{"modernc.org/sqlite", "only cues/journal knows SQL", []string{"cues/journal"}},
	{"github.com/evanw/esbuild/pkg/api", "only ui/join joins modules", []string{"ui/join"}},
	{"encoding/json", "track and play are plain data", append([]string{"ui/join"}, nonPlain...)},
	{"log/slog", "the loop never logs", nonPlain},
}

// nonPlain are the rooms off the 44 Hz path that may encode and log.
var nonPlain = []string{"cues", "cues/showfile", "cues/showfile/edit", "cues/showfile/watch", "cues/compile", "cues/session", "cues/journal", "cues/light", "artnet/link", "artnet/fakenode", "artnet/rdm/controller", "artnet/sacn/source", "artnet/outlet", "server", "cmd/linkboy", "colour", "colour/lamp", "colour/picture"}

func TestImportsFollowTheRooms(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".." || d.Name() == "testdata" || d.Name() == "node_modules") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		seen++
		checkFile(t, filepath.ToSlash(rel), path)
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, seen, 50, "the walk found too few files to mean anything")
}

// checkFile reports every import of one file that the rules do not allow.
func checkFile(t *testing.T, room, path string) {
	t.Helper()
	allowed, known := rooms[room]
	if !known {
		t.Errorf("%s: package %s is in no room: add it to the picture", path, room)
		return
	}
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	require.NoError(t, err)
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		require.NoError(t, err)
		if inside, ok := strings.CutPrefix(imported, "linkboy/"); ok && !slices.Contains(allowed, inside) && !slices.Contains(allowed, "*") {
			t.Errorf("%s: %s must not import %s", path, room, inside)
		}
		for _, o := range owners {
			if imported == o.path && !slices.Contains(o.rooms, room) {
				t.Errorf("%s: must not import %s: %s", path, o.path, o.why)
			}
		}
	}
}
