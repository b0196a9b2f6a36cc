package edit_test

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"linkboy/cues/showfile/edit"
)

// tree is a value of a YAML file without its looks.
type tree struct {
	kind byte // 's' single, 'l' list, 'm' map
	text string
	keys []string
	kids []*tree
}

func parseTree(t testing.TB, src []byte) *tree {
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal(src, &doc), "%s", src)
	if len(doc.Content) == 0 {
		return &tree{kind: 'm'}
	}
	return treeOf(doc.Content[0])
}

func treeOf(n *yaml.Node) *tree {
	switch n.Kind {
	case yaml.MappingNode:
		out := &tree{kind: 'm'}
		for i := 0; i < len(n.Content); i += 2 {
			out.keys, out.kids = append(out.keys, n.Content[i].Value), append(out.kids, treeOf(n.Content[i+1]))
		}
		return out
	case yaml.SequenceNode:
		out := &tree{kind: 'l'}
		for _, kid := range n.Content {
			out.kids = append(out.kids, treeOf(kid))
		}
		return out
	}
	return &tree{kind: 's', text: n.Value}
}

// json writes a tree as JSON, which is YAML without any looks.
func (n *tree) json(b *strings.Builder) {
	switch n.kind {
	case 's':
		b.WriteString(strconv.Quote(n.text))
		return
	case 'l':
		b.WriteByte('[')
	case 'm':
		b.WriteByte('{')
	}
	for i, kid := range n.kids {
		if i > 0 {
			b.WriteString(", ")
		}
		if n.kind == 'm' {
			b.WriteString(strconv.Quote(n.keys[i]) + ": ")
		}
		kid.json(b)
	}
	b.WriteByte(map[byte]byte{'l': ']', 'm': '}'}[n.kind])
}

func (n *tree) get(key string) *tree {
	if n == nil || n.kind != 'm' {
		return nil
	}
	if i := slices.Index(n.keys, key); i >= 0 {
		return n.kids[i]
	}
	return nil
}

func (n *tree) put(key string, value *tree) {
	if i := slices.Index(n.keys, key); i >= 0 {
		n.kids[i] = value
		return
	}
	n.keys, n.kids = append(n.keys, key), append(n.kids, value)
}

func (n *tree) drop(key string) {
	if i := slices.Index(n.keys, key); i >= 0 {
		n.keys, n.kids = slices.Delete(n.keys, i, i+1), slices.Delete(n.kids, i, i+1)
	}
}

func (n *tree) copy() *tree {
	out := *n
	out.keys, out.kids = slices.Clone(n.keys), slices.Clone(n.kids)
	for i := range out.kids {
		out.kids[i] = n.kids[i].copy()
	}
	return &out
}

// walk calls do for every single value of a tree, with the keys that lead to it.
func (n *tree) walk(keys []string, do func(keys []string, n *tree)) {
	for i, kid := range n.kids {
		key := "-"
		if n.kind == 'm' {
			key = n.keys[i]
		}
		kid.walk(append(slices.Clone(keys), key), do)
	}
	if n.kind == 's' {
		do(keys, n)
	}
}

// twin is a show as trees, which edits change in the plainest way: a second
// opinion on what an edit means. It does not care where new keys stand.
type twin map[string]*tree

func (w twin) copy() twin {
	out := twin{}
	for file, n := range w {
		out[file] = n.copy()
	}
	return out
}

func (w twin) files() map[string][]byte {
	out := map[string][]byte{}
	for file, n := range w {
		var b strings.Builder
		n.json(&b)
		out[file] = []byte(b.String())
	}
	return out
}

// sections has the key of the map or list of each part that has one.
var sections = map[edit.What]string{edit.Look: "looks", edit.Paint: "looks", edit.Character: "cast", edit.Colour: "cast", edit.Cue: "cues",
	edit.Group: "groups", edit.Lamp: "rig", edit.Mark: "marks", edit.StandIn: "stand-ins", edit.Setup: "setups", edit.Trim: "setups",
	edit.Tempo: "tempo", edit.Camera: "camera", edit.Safety: "safety", edit.Piece: "set", edit.Output: "outputs"}

// listed are the parts that stand in lists.
var listed = []edit.What{edit.Paint, edit.Cue, edit.Piece, edit.Output}

// alone are the keys whose value is the whole part.
var alone = map[edit.What]string{edit.Colour: "colour", edit.Mark: "at", edit.Trim: "stops"}

// literal are the keys whose values are not read as lists and maps.
var literal = regexp.MustCompile(`^(title|timeline|from|wears|policy|note|on|pattern|level|look|fade|delay|curve|path|spread|after|timecode|dark|match|lamp|address|circuit|height|lens|iso|stop|shutter|fps|balance|sensor-width|stops|bpm|beats-per-bar|over|under|sensor|flashing|box|plane|cylinder|steps|mesh|radius|count|rise|scale|turn|interface|sync|priority|offset|ttl|preview|type|mode|uid)$`)

func (w twin) file(location string) string {
	if location == "" {
		return "show.yaml"
	}
	return "locations/" + location + ".yaml"
}

func fieldTree(t testing.TB, key, text string) *tree {
	if literal.MatchString(key) {
		return &tree{kind: 's', text: text}
	}
	if yaml.Unmarshal([]byte(text), new(yaml.Node)) != nil {
		return &tree{kind: 's', text: "no value at all: " + text} // no key takes that
	}
	return parseTree(t, []byte(text))
}

// apply makes an edit; false when there is nothing that it could change.
func (w twin) apply(t testing.TB, e edit.Edit) bool {
	if e.Do == edit.Rename {
		return w.rename(e)
	}
	root := w[w.file(e.Location)]
	if root == nil {
		return false
	}
	if e.What == edit.Kit {
		return w.named(t, w["kit.yaml"], w["kit.yaml"], e)
	}
	path := []string{sections[e.What]}
	switch e.What {
	case edit.TheShow, edit.TheLocation:
		return root.change(t, e)
	case edit.FloorLight, edit.WorkLight:
		path = []string{"safety", string(e.What)}
	case edit.Paint:
		path = append(path, e.Of, "paint")
	case edit.Colour:
		path = append(path, e.Of)
	case edit.Trim:
		path = append(path, e.Of, "trim")
	}
	if e.Of != "" && root.get(path[0]).get(e.Of) == nil {
		return false
	}
	kind := byte('m')
	if slices.Contains(listed, e.What) {
		kind = 'l'
	}
	if kind == 'm' && e.Name == "" {
		return w.one(t, root, path, e)
	}
	holder := root
	for i, key := range path {
		next := holder.get(key)
		if next == nil {
			if e.Do != edit.Add {
				return false
			}
			next = &tree{kind: 'm'}
			if i == len(path)-1 {
				next.kind = kind
			}
			holder.put(key, next)
		}
		holder = next
	}
	if kind == 'l' {
		ok := holder.numbered(t, e)
		if e.What == edit.Output && len(holder.kids) == 0 {
			root.drop("outputs") // or nothing would go out
		}
		return ok
	}
	return w.named(t, root, holder, e)
}

// one edits what there is one of.
func (w twin) one(t testing.TB, root *tree, path []string, e edit.Edit) bool {
	last := path[len(path)-1]
	if e.Do == edit.Change && !slices.ContainsFunc(slices.Collect(maps.Values(e.Fields)), func(text string) bool { return text != "" }) {
		for _, key := range path {
			root = root.get(key)
		}
		return root == nil || root.change(t, e)
	}
	for _, key := range path[:len(path)-1] {
		if root.get(key) == nil {
			if e.Do == edit.Remove {
				return false
			}
			root.put(key, &tree{kind: 'm'})
		}
		root = root.get(key)
	}
	if e.Do == edit.Remove {
		had := root.get(last) != nil
		root.drop(last)
		return had
	}
	if root.get(last) == nil {
		root.put(last, &tree{kind: 'm'})
	}
	return root.get(last).change(t, e)
}

func (w twin) named(t testing.TB, root, holder *tree, e edit.Edit) bool {
	has := holder.get(e.Name) != nil
	if has == (e.Do == edit.Add) {
		return false
	}
	switch e.Do {
	case edit.Remove:
		holder.drop(e.Name)
		if e.What == edit.Lamp {
			return root.leave(e.Name)
		}
		return true
	case edit.Add:
		holder.put(e.Name, entryTree(t, e))
		return true
	}
	now := holder.get(e.Name)
	if key := alone[e.What]; key != "" {
		holder.put(e.Name, fieldTree(t, key, e.Fields[key]))
		return e.Fields[key] != ""
	}
	if e.What == edit.Group && now.kind == 'l' {
		now = &tree{kind: 'm', keys: []string{"lamps"}, kids: []*tree{now}}
		holder.put(e.Name, now)
	}
	return now.change(t, e)
}

func entryTree(t testing.TB, e edit.Edit) *tree {
	if key := alone[e.What]; key != "" {
		return fieldTree(t, key, e.Fields[key])
	}
	n := &tree{kind: 'm'}
	for key, text := range e.Fields {
		n.put(key, fieldTree(t, key, text))
	}
	return n
}

func (n *tree) change(t testing.TB, e edit.Edit) bool {
	for key, text := range e.Fields {
		if text == "" {
			n.drop(key)
		} else {
			n.put(key, fieldTree(t, key, text))
		}
	}
	if e.What == edit.Paint {
		_, pattern := e.Fields["pattern"]
		_, colours := e.Fields["colours"]
		_, colour := e.Fields["colour"]
		if e.Fields["colour"] != "" {
			if !pattern {
				n.drop("pattern")
			}
			if !colours {
				n.drop("colours")
			}
		} else if e.Fields["colours"] != "" && !colour {
			n.drop("colour")
		}
	}
	return true
}

// numbered edits a list.
func (n *tree) numbered(t testing.TB, e edit.Edit) bool {
	place := e.Place - 1
	if e.Do == edit.Add {
		if place < 0 || place > len(n.kids) {
			place = len(n.kids)
		}
		n.kids = slices.Insert(n.kids, place, entryTree(t, e))
		return true
	}
	i := e.Number - 1
	if i >= len(n.kids) {
		return false
	}
	switch e.Do {
	case edit.Remove:
		n.kids = slices.Delete(n.kids, i, i+1)
	case edit.Move:
		if place < 0 || place >= len(n.kids) {
			place = len(n.kids) - 1
		}
		item := n.kids[i]
		n.kids = slices.Insert(slices.Delete(n.kids, i, i+1), place, item)
	default:
		return n.kids[i].change(t, e)
	}
	return true
}

// leave takes a lamp out of every group; false for one that stands in a range.
func (n *tree) leave(lamp string) bool {
	ok := true
	for _, g := range groupLists(n) {
		g.kids = slices.DeleteFunc(g.kids, func(item *tree) bool {
			ok = ok && !strings.Contains(item.text, "..")
			return item.text == lamp || strings.HasPrefix(item.text, lamp+" ")
		})
	}
	return ok
}

func groupLists(n *tree) []*tree {
	var out []*tree
	if groups := n.get("groups"); groups != nil {
		for _, g := range groups.kids {
			if g.kind == 'm' {
				g = g.get("lamps")
			}
			out = append(out, g)
		}
	}
	return out
}

// rename renames a thing and what names it, by walking over everything.
func (w twin) rename(e edit.Edit) bool {
	section := sections[e.What]
	found := false
	if e.What == edit.Look && !w.freeLook(e) {
		return false
	}
	for file, root := range w {
		own := root.get(section)
		if file == "kit.yaml" || e.Location != "" && file != w.file(e.Location) || own == nil || e.What == edit.Character && file != "show.yaml" {
			continue
		}
		if e.Location == "" && e.What != edit.Look && own.get(e.To) != nil && e.To != e.Name {
			return false // one name would mean two things
		}
		if e.What == edit.Look && e.Location == "" && file != "show.yaml" {
			continue
		}
		if i := slices.Index(own.keys, e.Name); i >= 0 {
			if own.get(e.To) != nil && e.To != e.Name {
				return false
			}
			own.keys[i], found = e.To, true
			if e.What == edit.Lamp && own.kids[i].get("lamp") == nil {
				own.kids[i].put("lamp", &tree{kind: 's', text: e.Name})
			}
		}
	}
	for file, root := range w {
		if file == "kit.yaml" || e.Location != "" && file != w.file(e.Location) {
			continue
		}
		if e.What == edit.Look && file != "show.yaml" && e.Location == "" && root.get("looks").get(e.Name) != nil {
			return false // not made by the random edits: shadowed looks have their own test
		}
		root.walk(nil, func(keys []string, n *tree) { n.text = renamed(e, keys, n.text) })
		for _, u := range kidsOf(root.get("setups")) {
			if trim := u.get("trim"); e.What == edit.Group && trim != nil {
				if i := slices.Index(trim.keys, e.Name); i >= 0 {
					trim.keys[i] = e.To
				}
			}
		}
		if e.What == edit.Lamp {
			for _, g := range groupLists(root) {
				for _, item := range g.kids {
					if item.text == e.Name || strings.HasPrefix(item.text, e.Name+" ") {
						item.text = e.To + item.text[len(e.Name):]
					}
				}
			}
		}
	}
	return found
}

// freeLook reports whether a look can be renamed without a name meaning another
// look somewhere.
func (w twin) freeLook(e edit.Edit) bool {
	for file, root := range w {
		if (file == "show.yaml" || e.Location == "" || file == w.file(e.Location)) && root.get("looks").get(e.To) != nil {
			return e.To == e.Name
		}
	}
	for _, k := range kidsOf(w["show.yaml"].get("looks")) {
		if from := k.get("from"); e.Location != "" && from != nil && from.text == e.Name {
			return false
		}
	}
	return true
}

func kidsOf(n *tree) []*tree {
	if n == nil {
		return nil
	}
	return n.kids
}

// renamed gives what a value at keys is after a rename.
func renamed(e edit.Edit, keys []string, text string) string {
	last := keys[len(keys)-1]
	words := strings.Fields(text)
	whole := func(names ...string) bool { return slices.Contains(names, last) && text == e.Name }
	switch e.What {
	case edit.Character:
		inColour := last == "colour" || len(keys) > 1 && keys[len(keys)-2] == "colours"
		if rest, ok := strings.CutPrefix(text, e.Name+"."); ok && inColour {
			return e.To + "." + rest
		}
		if whole("wears") {
			return e.To
		}
	case edit.Look:
		if whole("from", "look") {
			return e.To
		}
	case edit.Group:
		if keys[0] != "groups" && whole("on") {
			return e.To
		}
		if last == "level" || last == "spread" {
			for i := 1; i < len(words); i++ {
				if (words[i-1] == "under" || words[i-1] == "along") && words[i] == e.Name {
					words[i] = e.To
					return strings.Join(words, " ")
				}
			}
		}
	case edit.Mark:
		if (keys[0] == "rig" || keys[0] == "stand-ins" || keys[0] == "setups") && whole("aim", "at", "facing", "look-at", "walk") {
			return e.To
		}
		if n := len(words); last == "level" && n > 1 && words[n-2] == "at" && words[n-1] == e.Name {
			words[n-1] = e.To
			return strings.Join(words, " ")
		}
	}
	return text
}
