package edit_test

import (
	"bytes"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"linkboy/cues"
	"linkboy/cues/showfile/edit"
)

const demo = "../../../cmd/linkboy/shows/tidewater"

func smallShow(t testing.TB) map[string][]byte {
	archive, err := txtar.ParseFile("testdata/small.txtar")
	require.NoError(t, err)
	files := map[string][]byte{}
	for _, f := range archive.Files {
		files[f.Name] = f.Data
	}
	return files
}

func twinOf(t testing.TB, files map[string][]byte) twin {
	w := twin{}
	for name, data := range files {
		w[name] = parseTree(t, data)
	}
	return w
}

func mustLoad(t testing.TB, dir string, files map[string][]byte) *cues.Show {
	t.Helper()
	show, problems := edit.Load(dir, files)
	for _, p := range problems.Errors() {
		t.Fatalf("%v\n%s", p, files[p.File])
	}
	return show
}

// TestRandomEdits makes random edits of all kinds on the demo show and on a
// small show in many odd styles. After each edit that is made, the show must be
// without errors and equal that of the twin, which is edited as plain trees and
// written anew as a whole; lines that the edit is not about must be the same
// bytes. An edit that is refused must leave the twin in error too, but for the
// few that say the spot is unsure.
func TestRandomEdits(t *testing.T) {
	var made, refused, unsure int
	run := func(seed uint64, dir string, files map[string][]byte, edits int) {
		r := &chooser{Rand: rand.New(rand.NewPCG(seed, 2)), t: t}
		show, w := mustLoad(t, dir, files), twinOf(t, files)
		for range edits {
			e := r.edit(w)
			after, touched, p := edit.Make(show, files, e)
			second := w.copy()
			possible := second.apply(t, e)
			if p != nil {
				refused++
				if p.Code == cues.CodeEditUnsure {
					unsure++
					continue
				}
				if _, problems := edit.Load(dir, second.files()); possible && !problems.HasErrors() {
					t.Fatalf("seed %d: %v was refused without need: %v\n%s", seed, e, p, files[p.File])
				}
				continue
			}
			next, problems := edit.Load(dir, after)
			other, otherProblems := edit.Load(dir, second.files())
			require.Equal(t, otherProblems.HasErrors(), problems.HasErrors(), "seed %d: %v: %v, the twin has %v", seed, e, problems.Errors(), otherProblems.Errors())
			if problems.HasErrors() {
				refused++
				continue
			}
			require.True(t, possible, "seed %d: %v", seed, e)
			require.Empty(t, differ(next, other), "seed %d: %v", seed, e)
			for name := range after {
				requireUntouched(t, e, touched, name, files[name], after[name])
			}
			made++
			files, show, w = after, next, second
		}
	}
	demoFiles, err := edit.ReadFiles(demo)
	require.NoError(t, err)
	for seed := range uint64(max(1, randomEdits/1000)) {
		run(seed, demo, demoFiles, 100)
	}
	small := smallShow(t)
	for seed := uint64(100); made+refused < randomEdits; seed++ {
		run(seed, ".", styled(t, seed, small), 60)
	}
	t.Logf("%d edits made, %d refused, of them %d as unsure", made, refused, unsure)
	require.Greater(t, made, randomEdits/2)
	require.Less(t, unsure, randomEdits/50)
}

// styled writes a show in odd styles, the same model.
func styled(t testing.TB, seed uint64, files map[string][]byte) map[string][]byte {
	s := &stylist{Rand: rand.New(rand.NewPCG(seed, 1)), calm: 4 + int(seed%12)}
	out := map[string][]byte{}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		out[name] = s.file(parseTree(t, files[name]))
	}
	require.Empty(t, differ(mustLoad(t, ".", files), mustLoad(t, ".", out)), "the styles changed the show")
	return out
}

// requireUntouched checks that the lines of a file which the edit is not about
// are in the new file as they were, in their order. What an edit is about is
// found in the old file with the YAML parser alone.
func requireUntouched(t *testing.T, e edit.Edit, touched []edit.Touch, name string, before, after []byte) {
	if bytes.Equal(before, after) {
		return
	}
	may := map[int]bool{}
	for _, at := range touched {
		if at.Pos.File == name {
			mayTouch(t, e, before, at.Pos.Line, may)
		}
	}
	old, now := splitLines(before), splitLines(after)
	inside := e.Do == edit.Remove // what goes takes with it what stands in it
	for key, text := range e.Fields {
		inside = inside || text == "" || slices.Contains([]string{"paint", "at", "colour", "colours", "set", "trim"}, key)
	}
	if !inside {
		require.ElementsMatch(t, comments(old), comments(now), "%v\n%s\n----\n%s", e, before, after)
	}
	spare := map[string]int{} // of lines that are alike it is not to be seen which one went
	for l := range may {
		if 0 < l && l <= len(old) {
			spare[old[l-1]]++
		}
	}
	for _, i := range lost(old, now) {
		text := strings.TrimRight(old[i], "\r\n")
		if spare[old[i]]--; spare[old[i]] >= 0 || i == len(old)-1 && slices.Contains(trimmed(now), text) { // the last line may get a line end
			continue
		}
		t.Fatalf("%v: line %d of %s was touched: %q\n%s\n----\n%s", e, i+1, name, old[i], before, after)
	}
}

// comments lists the lines that are comments.
func comments(lines []string) []string {
	return slices.DeleteFunc(trimmed(lines), func(line string) bool { return !strings.HasPrefix(strings.TrimSpace(line), "#") })
}

func trimmed(lines []string) []string {
	var out []string
	for _, line := range lines {
		out = append(out, strings.TrimRight(line, "\r\n"))
	}
	return out
}

func splitLines(text []byte) []string {
	return strings.SplitAfter(strings.TrimPrefix(string(text), "\uFEFF"), "\n")
}

// lost gives the lines of a that are not in b, by their longest common
// subsequence.
func lost(a, b []string) []int {
	head := 0
	for head < min(len(a), len(b)) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < min(len(a), len(b))-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	x, y := a[head:len(a)-tail], b[head:len(b)-tail]
	length := make([][]int, len(x)+1)
	length[len(x)] = make([]int, len(y)+1)
	for i := len(x) - 1; i >= 0; i-- {
		length[i] = make([]int, len(y)+1)
		for j := len(y) - 1; j >= 0; j-- {
			if x[i] == y[j] {
				length[i][j] = length[i+1][j+1] + 1
			} else {
				length[i][j] = max(length[i+1][j], length[i][j+1])
			}
		}
	}
	var out []int
	for i, j := 0, 0; i < len(x); {
		switch {
		case j < len(y) && x[i] == y[j]:
			i, j = i+1, j+1
		case j == len(y) || length[i+1][j] >= length[i][j+1]:
			out, i = append(out, head+i), i+1
		default:
			j++
		}
	}
	return out
}

// mayTouch marks the lines that an edit may change for the place that it names:
// for a rename that line, else those of the smallest entry that begins there;
// what is added may also touch the last line of each entry beside it (a comma)
// and the key of an empty list.
func mayTouch(t *testing.T, e edit.Edit, src []byte, line int, may map[int]bool) {
	may[line] = true
	if e.Do == edit.Rename {
		return
	}
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal(src, &doc))
	lines := splitLines(src)
	var visit func(n *yaml.Node, key int)
	visit = func(n *yaml.Node, key int) {
		for i, kid := range n.Content {
			begins := kid.Line
			if n.Kind == yaml.MappingNode && i%2 == 1 {
				begins = n.Content[i-1].Line
			}
			if alone := len(n.Content) == 1 || len(n.Content) == 2 && n.Kind == yaml.MappingNode; alone && begins == line && e.Do == edit.Remove {
				may[key] = true // it gets [] or {}
			}
			for n.Kind == yaml.SequenceNode && n.Style&yaml.FlowStyle == 0 && begins > n.Line && !dashed(lines[begins-1], n.Column) {
				begins--
			}
			last := closed(lines, lastLine(kid))
			if e.Do == edit.Move && n.Kind == yaml.SequenceNode && slices.ContainsFunc(n.Content, func(k *yaml.Node) bool { return k.Line == line }) {
				first := n.Line
				for first > 1 && strings.HasPrefix(strings.TrimSpace(lines[first-2]), "#") {
					first-- // what is moved before all may stand before their comment, which stays: see comments
				}
				for l := first; l <= closed(lines, lastLine(n)); l++ {
					may[l] = true
				}
			}
			if begins == line || kid.Line == line {
				if e.Do == edit.Add {
					if len(kid.Content) == 0 { // what closes it may stand below
						may[closed(lines, kid.Line)] = true
					}
					for _, entry := range kid.Content {
						for l := lastLine(entry); l <= closed(lines, lastLine(entry)); l++ {
							may[l] = true
						}
					}
				} else if last-line < 60 {
					for l := begins; l <= last; l++ {
						may[l] = true
					}
				} else { // a whole file: of it the values that change
					for j := 0; j+1 < len(kid.Content); j += 2 {
						if _, said := e.Fields[kid.Content[j].Value]; said {
							for l := kid.Content[j].Line; l <= lastLine(kid.Content[j+1]); l++ {
								may[l] = true
							}
						}
					}
				}
			}
			visit(kid, begins)
		}
	}
	visit(&doc, 0)
}

// lastLine gives the last line that something in n begins in, or ends in when it
// is a text of several lines.
func lastLine(n *yaml.Node) int {
	last := n.Line
	if n.Style&yaml.LiteralStyle != 0 {
		last += 1 + strings.Count(n.Value, "\n")
	}
	for _, kid := range n.Content {
		last = max(last, lastLine(kid))
	}
	return last
}

// closed adds the lines that only close what begins before them.
func closed(lines []string, last int) int {
	for next := last; next < len(lines); next++ {
		text := strings.TrimSpace(lines[next])
		if strings.HasPrefix(text, "]") || strings.HasPrefix(text, "}") {
			last = next + 1
		} else if text != "" && text[0] != '#' && text[0] != ',' {
			break
		}
	}
	return last
}

// dashed reports whether an item begins in a line, at the column of its list.
func dashed(line string, column int) bool {
	return len(line) >= column && line[column-1] == '-' && strings.TrimSpace(line[:column-1]) == ""
}

// chooser makes random edits.
type chooser struct {
	*rand.Rand
	t testing.TB
}

func one[T any](r *chooser, from []T) T { return from[r.IntN(len(from))] }

// names lists the names in a section of a file, and now and then one that is
// not there.
func (r *chooser) name(w twin, location, section string) string {
	own := w[w.file(location)].get(section)
	if own == nil || len(own.keys) == 0 || r.IntN(20) == 0 {
		return one(r, []string{"nobody", "a b", "x-9", "Ünicode", "no: way"})
	}
	return one(r, own.keys)
}

var freshNames = []string{"dawn", "dusk two", "größer", "n1", "keeper", "ash-1", "灯", "it", "a.b", "true", "null", "-x"}

func (r *chooser) location(w twin) string {
	var out []string
	for file := range w {
		if name, ok := strings.CutPrefix(file, "locations/"); ok {
			out = append(out, strings.TrimSuffix(name, ".yaml"))
		}
	}
	slices.Sort(out)
	return one(r, out)
}

var values = map[string][]string{
	"title":         {"Another", "with: colon", "# hash", "«ü»", "", strings.Repeat("long ", 300) + "end"},
	"note":          {"she turns", "", "a\nb", "\"quoted\" 'both'", "- dash", "[x]", "trailing ", "tab\there", "{a: b}", "灯 on", "no # comment", strings.Repeat("word ", 100)},
	"colour":        {"3200 K", "{hue: 30, sat: 80%}", "lead", "warden.lead", "{cct: 5600, tint: 0.003}", "{xy: [0.31, 0.33]}", "{css: \"#ff8800\"}", "nonsense colour", "[", "{nm: 520, purity: 80%}", "a # b", ""},
	"colours":       {"[lead, second]", "[warden.lead, {hue: 3, sat: 20%}, 4300 K]", "[]", "[lead]", "[second, lead, lead, second]"},
	"level":         {"40%", "-2 stops", "-1.5 stops under key at a", "120 lx at a", "140%", "", "+1 stops under key at a"},
	"pattern":       {"halves", "alternate", "gradient", "mirror", "solid", "stripes", ""},
	"set":           {"{output: 12%}", "{fan: 30, output: 1%}", "{}", ""},
	"policy":        {"truest", "brightest", "camera", "", "fast"},
	"fade":          {"4 s", "48 frames on screen", "0 s", "2 bars", "4", ""},
	"delay":         {"250 ms", "", "1 s"},
	"after":         {"8 beats", "", "1 s"},
	"curve":         {"soft", "even", ""},
	"path":          {"white", "round other way", ""},
	"timecode":      {"01:00:12:08", "02:00:00:00", ""},
	"dark":          {"true", "false", ""},
	"match":         {"group", ""},
	"at":            {"[1, 2, 0]", "[3.5, -1, 0.05]", "[[0, 0, 0], [2, 1, 0]]", "a", "[1, 2]"},
	"along":         {"[0, 1, 0]", "[1, 0, 0]", "", "[0, 0, 0]"},
	"aim":           {"a", "[4, 4, 1]", "", "nowhere"},
	"address":       {"0:0:3.001", "0:0:4.100", "0:0:1.400", "x"},
	"circuit":       {"wall-b", "", "16 A: left", "\"x\""},
	"diffusion":     {"{factor: 50%}", "{factor: 20%, widens: 60 deg}", ""},
	"height":        {"1.8 m", "1.2 m", "9 m", ""},
	"facing":        {"a", "[0, 0, 0]", ""},
	"camera":        {"[1, -4, 1.5]", "[2, 2, 2]"},
	"look-at":       {"a", "[5, 5, 1]"},
	"lens":          {"35 mm", "18 mm", ""},
	"iso":           {"400", "1600", ""},
	"stop":          {"T4", "T2.8", "2.8", ""},
	"fps":           {"48", "24", ""},
	"stops":         {"-1 stops", "+0.5 stops", "1"},
	"bpm":           {"100", "90.5", "5"},
	"beats-per-bar": {"3", "4", ""},
	"timeline":      {"24 fps", "25 fps"},
	"balance":       {"3200 K", "5600 K"},
	"trim":          {"{key: -2 stops}", ""},
	"flashing":      {"warned", "", "warned", "yes"},
	"box":           {"pillar", "bath: edge", "steps"},
	"size":          {"[1, 1, 2]", "[0.5, 3, 0.4]", "[2, 1, 0.3]", "[1, 2, 3]", "[4, 1, 0.2]", "[1, 0, 1]"},
	"turn":          {"30 deg", "", "-12.5 deg"},
	"albedo":        {"0.2", "[0.5, 0.4, 0.3]", "0.7", "", "1.4"},
	"over":          {"art-net", "sacn"},
	"universes":     {"[0:0:7]", "[0:0:8, 0:0:9..0:0:12]", "[0:0:20]", "[0:0:21, 0:0:22]", "[0:1:0..0:1:3]", "all", "", "[]"},
	"to":            {"[192.0.2.21]", "[192.0.2.22, 192.0.2.23]", "", "[nobody]"},
	"priority":      {"120", ""},
	"sync":          {"true", "", "7000"},
	"type":          {"tube-rgbww-4ft", "puck-rgbw", "puck-rgbw", "tube-rgbww-4ft", "nothing"},
	"mode":          {"16-cell", "", "", "8-bit"},
	"uid":           {"7FF0:0000002A", "", "x"},
}

// field gives a random value for a key.
func (r *chooser) field(w twin, what edit.What, location, key string) string {
	switch key {
	case "at":
		if what == edit.Piece && r.IntN(8) > 0 {
			return one(r, values[key][:2]) // no walk and no mark
		}
	case "on":
		return r.name(w, r.location(w), "groups")
	case "look", "from":
		if r.IntN(2) == 0 {
			return r.name(w, "", "looks")
		}
		return r.name(w, location, "looks")
	case "wears":
		return r.name(w, "", "cast")
	case "spread":
		return "1 s along " + r.name(w, location, "groups")
	case "lamp":
		return one(r, []string{"P5", "P6", "T4", "T1", "Q9"})
	case "lamps":
		var names []string
		for range 1 + r.IntN(3) {
			names = append(names, r.name(w, location, "rig"))
		}
		return "[" + strings.Join(names, ", ") + "]"
	case "paint":
		return one(r, []string{"[{on: key, colour: 3200 K, level: 3%}]", "[]", "[{on: edge, level: 3%}, {on: key, pattern: halves, colours: [lead, second], level: 9%}]"})
	}
	if known := values[key]; known != nil {
		return one(r, known)
	}
	r.t.Fatalf("no values for %q", key)
	return ""
}

// keysOf has the keys of parts that random edits use, the needed ones first.
var keysOf = map[edit.What][]string{
	edit.TheShow: {"title", "timeline"}, edit.TheLocation: {"title"}, edit.Look: {"wears", "paint", "from", "policy", "note"},
	edit.Paint: {"on", "level", "colour", "colours", "pattern", "set"}, edit.Colour: {"colour"},
	edit.Cue:   {"look", "fade", "delay", "after", "curve", "path", "spread", "timecode", "dark", "note"},
	edit.Group: {"lamps", "policy", "match"}, edit.Lamp: {"lamp", "at", "address", "along", "aim", "circuit", "diffusion"}, edit.Mark: {"at"},
	edit.StandIn: {"at", "height", "facing"}, edit.Setup: {"camera", "look-at", "lens", "iso", "stop", "fps", "trim", "balance"}, edit.Trim: {"stops"},
	edit.Tempo: {"bpm", "beats-per-bar"}, edit.Camera: {"iso", "stop", "fps", "balance"},
	edit.FloorLight: {"on", "level", "colour"}, edit.WorkLight: {"level", "colour", "on"},
	edit.Safety: {"flashing"}, edit.Piece: {"box", "at", "size", "turn", "albedo"}, edit.Kit: {"type", "policy", "note", "uid", "mode"},
	edit.Output: {"over", "universes", "to", "sync", "priority"},
}

var needed = map[edit.What]int{edit.Look: 2, edit.Paint: 3, edit.Colour: 1, edit.Cue: 1, edit.Group: 1, edit.Lamp: 3, edit.Mark: 1, edit.StandIn: 1,
	edit.Setup: 2, edit.Trim: 1, edit.Tempo: 1, edit.Camera: 1, edit.FloorLight: 3, edit.WorkLight: 2, edit.TheShow: 1, edit.TheLocation: 1,
	edit.Safety: 1, edit.Piece: 3, edit.Output: 2, edit.Kit: 1}

var kinds = []edit.What{edit.TheShow, edit.TheLocation, edit.Look, edit.Look, edit.Paint, edit.Paint, edit.Paint, edit.Character, edit.Colour, edit.Cue, edit.Cue, edit.Cue,
	edit.Group, edit.Lamp, edit.Lamp, edit.Mark, edit.StandIn, edit.Setup, edit.Trim, edit.Tempo, edit.Camera, edit.FloorLight, edit.WorkLight,
	edit.Safety, edit.Piece, edit.Output, edit.Kit}

// edit makes a random edit, most of them such as can be made.
func (r *chooser) edit(w twin) edit.Edit {
	for {
		e := edit.Edit{What: one(r, kinds), Do: one(r, []edit.Do{edit.Add, edit.Change, edit.Change, edit.Remove, edit.Move, edit.Rename})}
		switch e.What {
		case edit.TheShow, edit.Character, edit.Colour, edit.Camera, edit.FloorLight, edit.WorkLight, edit.Safety, edit.Kit:
		case edit.Look, edit.Paint, edit.Tempo:
			if r.IntN(2) == 0 {
				e.Location = r.location(w)
			}
		default:
			e.Location = r.location(w)
		}
		if (e.What == edit.Group || e.What == edit.Mark) && e.Do == edit.Rename && r.IntN(2) == 0 {
			e.Location = ""
		}
		r.which(w, &e)
		if e.Do == edit.Rename {
			e.To = one(r, freshNames)
		}
		if (e.Do == edit.Add || e.Do == edit.Move) && r.IntN(2) == 0 {
			e.Place = 1 + r.IntN(5)
		}
		if e.Do == edit.Add || e.Do == edit.Change {
			r.fields(w, &e)
		}
		// Locations that come and go have their own tests: soon none would be left here.
		if e.Check() == nil && (e.What != edit.TheLocation || e.Do == edit.Change) {
			return e
		}
	}
}

// which chooses the part.
func (r *chooser) which(w twin, e *edit.Edit) {
	section := sections[e.What]
	switch e.What {
	case edit.Kit:
		e.Name = one(r, append(slices.Clone(w["kit.yaml"].keys), "L9"))
		if e.Do == edit.Add {
			e.Name = one(r, []string{"T90..T92", "L9", "L10", "L11..L14", "größer", "T4"})
		}
	case edit.Paint:
		e.Of = r.name(w, e.Location, section)
	case edit.Colour, edit.Trim:
		e.Of = r.name(w, e.Location, section)
		e.Name = one(r, []string{"lead", "second", "key", "edge", "floor"})
	case edit.Look, edit.Character, edit.Group, edit.Lamp, edit.Mark, edit.StandIn, edit.Setup:
		where := e.Location
		if where == "" && e.What != edit.Look && e.What != edit.Character {
			where = r.location(w)
		}
		e.Name = r.name(w, where, section)
		if e.Do == edit.Add {
			e.Name = one(r, freshNames)
		}
	}
	if slices.Contains(listed, e.What) && e.Do != edit.Add {
		e.Number = 1 + r.IntN(4)
		if there := len(kidsOf(w[w.file(e.Location)].get(section))); (e.What == edit.Piece || e.What == edit.Output) && r.IntN(8) > 0 {
			e.Number = 1 + r.IntN(max(1, there)) // most places have few
		}
	}
}

func (r *chooser) fields(w twin, e *edit.Edit) {
	e.Fields = map[string]string{}
	if e.What == edit.Character {
		e.Fields["lead"], e.Fields["second"] = one(r, values["colour"]), "{hue: 3, sat: 9%}"
		return
	}
	keys := keysOf[e.What]
	for i, key := range keys {
		if e.Do == edit.Add && i < needed[e.What] || r.IntN(len(keys)) == 0 {
			e.Fields[key] = r.field(w, e.What, e.Location, key)
		}
		if e.Do == edit.Add && e.Fields[key] == "" {
			delete(e.Fields, key)
		}
	}
	if e.Do == edit.Change && len(e.Fields) == 0 {
		key := one(r, keys)
		e.Fields[key] = r.field(w, e.What, e.Location, key)
	}
	if e.What == edit.Setup && strings.HasPrefix(e.Fields["camera"], "[5, 5") {
		delete(e.Fields, "camera")
	}
}
