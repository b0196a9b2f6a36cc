package inplace_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"linkboy/cues/showfile/inplace"
)

func open(t testing.TB, text string) *inplace.File {
	f, err := inplace.Open([]byte(text))
	require.NoError(t, err)
	return f
}

// Each change and the text after it, as a person would have made it.
func TestChange(t *testing.T) {
	v := inplace.Value
	for _, c := range []struct {
		name, before string
		do           func(f *inplace.File) error
		after        string
	}{
		{"a value keeps its quotes", "a: 'x' # c\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: v("it's")}) }, "a: 'it''s' # c\n"},
		{"a value that needs quotes", "a: x\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: v("b: c")}) }, "a: \"b: c\"\n"},
		{"a text of several lines", "a: |\n  b\n   c\n\n# d\ne: f\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: v("x")}) }, "a: x\n\n# d\ne: f\n"},
		{"a value over two lines", "a: b\n  c # d\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: v("x")}) }, "a: x # d\n"},
		{"a key", "\"a\" : x\n", func(f *inplace.File) error {
			return f.Replace(inplace.Swap{Path: []int{0}, Key: true, Value: v("b")})
		}, "\"b\" : x\n"},
		{"a list in lines for a value", "a:\n- b\n- c\nd: e\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: v("x")}) }, "a: x\nd: e\n"},
		{"an item before a comment", "- a\n# of b\n- b\n", func(f *inplace.File) error { return f.Insert(nil, 1, "", v("x")) }, "- a\n- x\n# of b\n- b\n"},
		{"an item at the end of a text without line end", "a:\n  - b", func(f *inplace.File) error { return f.Insert([]int{0}, 1, "", v("x")) }, "a:\n  - b\n  - x"},
		{"an item with CRLF", "a:\r\n  - b\r\nc: d\r\n", func(f *inplace.File) error { return f.Insert([]int{0}, 1, "", v("x")) }, "a:\r\n  - b\r\n  - x\r\nc: d\r\n"},
		{"an item in a line of brackets", "a: [b, c]\n", func(f *inplace.File) error { return f.Insert([]int{0}, 1, "", v("x")) }, "a: [b, x, c]\n"},
		{"an item in lines of brackets", "a: [\n  b, # one\n  c # two\n]\n", func(f *inplace.File) error { return f.Insert([]int{0}, 2, "", v("x")) }, "a: [\n  b, # one\n  c, # two\n  x\n]\n"},
		{"an item behind a last comma", "a: [\n  b,\n]\n", func(f *inplace.File) error { return f.Insert([]int{0}, 1, "", v("x")) }, "a: [\n  b,\n  x,\n]\n"},
		{"the first item of an empty list", "a: [] # c\n", func(f *inplace.File) error { return f.Insert([]int{0}, 0, "", v("x")) }, "a: # c\n  - x\n"},
		{"a key in an empty text", "# only this\n", func(f *inplace.File) error { return f.Insert(nil, 0, "a", v("x")) }, "# only this\na: x\n"},
		{"a key behind a byte order mark", "\uFEFFa: b\n", func(f *inplace.File) error { return f.Insert(nil, 0, "x", v("y")) }, "\uFEFFx: y\na: b\n"},
		{"an entry as its neighbour has it", "a:\n    b:\n      - c: 1\n        d: 2\n", func(f *inplace.File) error {
			return f.Insert([]int{0}, 1, "x", inplace.Items(inplace.Entries().With("c", v("3")).With("d", v("4"))))
		}, "a:\n    b:\n      - c: 1\n        d: 2\n    x:\n      - c: 3\n        d: 4\n"},
		{"an entry in line with its neighbour", "a:\n  b:     {c: 1}\n", func(f *inplace.File) error {
			return f.Insert([]int{0}, 1, "long", inplace.Entries().With("c", v("3")))
		}, "a:\n  b:     {c: 1}\n  long:  {c: 3}\n"},
		{"the only item goes", "a: # c\n  - b\nd: e\n", func(f *inplace.File) error { return f.Remove([]int{0}, 0) }, "a: [] # c\nd: e\n"},
		{"a first key behind a dash goes", "- a: b\n  c: d\n", func(f *inplace.File) error { return f.Remove([]int{0}, 0) }, "- c: d\n"},
		{"a last item in brackets goes", "a: [b, c]\n", func(f *inplace.File) error { return f.Remove([]int{0}, 1) }, "a: [b]\n"},
		{"an item in lines of brackets goes", "a: [\n  b, # one\n  # of c\n  c\n]\n", func(f *inplace.File) error { return f.Remove([]int{0}, 0) }, "a: [\n  # of c\n  c\n]\n"},
		{"an item is moved with its comment", "- a # one\n# about b\n- b # two\n", func(f *inplace.File) error { return f.Move(nil, 1, 0) }, "- b # two\n- a # one\n# about b\n"},
		{"an item in brackets is moved as it is", "a: ['b', \"c\" , d]\n", func(f *inplace.File) error { return f.Move([]int{0}, 1, 2) }, "a: ['b' , d, \"c\"]\n"},
		{"a list in lines becomes one under a key", "a: # c\n  - b # one\n  # two\n  - d\n", func(f *inplace.File) error { return f.Wrap([]int{0}, "x") }, "a: # c\n  x:\n  - b # one\n  # two\n  - d\n"},
		{"a list in brackets becomes one under a key", "a: [b, # one\n  c]\n", func(f *inplace.File) error { return f.Wrap([]int{0}, "x") }, "a: {x: [b, # one\n  c]}\n"},
		{"a map with a comment keeps it", "a: {b: 1, # one\n  c: 2}\n", func(f *inplace.File) error {
			return f.Become([]int{0}, inplace.Entries().With("b", v("3")).With("d", v("4")))
		}, "a: {b: 3, # one\n  d: 4}\n"},
		{"only what differs in a list", "a: [1.0, 2 , 3]\n", func(f *inplace.File) error { return f.Become([]int{0}, inplace.Items(v("1.0"), v("5"), v("3"))) }, "a: [1.0, 5 , 3]\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := open(t, c.before)
			require.NoError(t, c.do(f))
			require.Equal(t, c.after, string(f.Bytes()))
		})
	}
}

// What is not clear is refused, and nothing is changed.
func TestUnsure(t *testing.T) {
	for _, text := range []string{"a: &b c\n", "a: !!str b\n", "a:\n", "a: ~\n--- \nb: c\n", "? [a]\n: b\n", "a: [b: c]\n", "a: |2\n   b\n", "{", "a: |+\n  b\n\n"} {
		_, err := inplace.Open([]byte(text))
		_, ok := errors.AsType[*inplace.UnsureError](err)
		require.True(t, ok, "%q: %v", text, err)
	}
	for _, c := range []struct {
		text string
		do   func(f *inplace.File) error
	}{
		{"- - a\n  - b\n", func(f *inplace.File) error { return f.Move([]int{0}, 0, 1) }},
		{"- - a\n", func(f *inplace.File) error { return f.Remove([]int{0}, 0) }},
		{"- a: b\n  # of c\n  c: d\n", func(f *inplace.File) error { return f.Remove([]int{0}, 0) }},
		{"a:\n- b # c\n- d\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{0}, Value: inplace.Value("x")}) }},
		{"a:\n- b # c\n- d\n", func(f *inplace.File) error { return f.Wrap([]int{0}, "x") }},
		{"a: b\n", func(f *inplace.File) error { return f.Insert([]int{0}, 0, "", inplace.Value("x")) }},
		{"a: b\n", func(f *inplace.File) error { return f.Remove(nil, 1) }},
		{"a: b\n", func(f *inplace.File) error { return f.Move(nil, 0, 1) }},
		{"a: b\n", func(f *inplace.File) error { return f.Replace(inplace.Swap{Path: []int{3}, Value: inplace.Value("x")}) }},
		{"a: b\n", func(f *inplace.File) error { return f.Become([]int{1, 2}, inplace.Value("x")) }},
	} {
		f := open(t, c.text)
		err := c.do(f)
		_, ok := errors.AsType[*inplace.UnsureError](err)
		require.True(t, ok, "%q: %v", c.text, err)
		require.Equal(t, c.text, string(f.Bytes()))
	}
}

func TestParseValue(t *testing.T) {
	for _, text := range []string{"3200 K", "{hue: 32, sat: 92%}", "[a, [1, 2], {b: \"c\"}]", "'q'", "-1.5 stops under key at a"} {
		_, err := inplace.ParseValue(text)
		require.NoError(t, err, text)
	}
	for _, text := range []string{"", "# c", "a # c", "a: b", "- a", "[", "a\nb", "*a", "&a b", "!!str a", "[a, {b: |\n c}]", "\xff", "--- a"} {
		_, err := inplace.ParseValue(text)
		require.Error(t, err, text)
	}
}

// FuzzChange makes any change of any text: it never panics; what is made is read
// by the YAML parser as what was meant, with every comment that stood on a line
// of its own outside of what went; what is refused changes nothing.
func FuzzChange(f *testing.F) {
	for _, text := range []string{
		"a: b\nc: [d, e]\n", "a:\n  - b # c\n  # d\n  - {e: f}\n", "- a: b\n  c: d\n-\n  e: 'f'\n", "a: [\n  b, # c\n  # d\n  e,\n]\n", "\uFEFFa: b\r\nc:\r\n- d\r\n",
		"a: |\n  b\n\n  c\nd: >-\n  e\n  f\n", "\"a\" : 'b'\n'c': \"\\u00e4\"\n", "{a: {b: {}}, c: []}", "a: b\n  c\nd: e\n...\n", "---\n# x\na: 1\n", "? a\n: b\n", "[[a, b], [c]]\n",
	} {
		for op := range byte(5) {
			f.Add(text, op, byte(0), byte(1), byte(1), "x: y")
			f.Add(text, op, byte(1), byte(0), byte(0), "ü")
		}
	}
	f.Fuzz(func(t *testing.T, text string, op, step, step2, index byte, value string) {
		file, err := inplace.Open([]byte(text))
		if err != nil || len(text) > 1<<12 {
			return
		}
		var path []int
		for n, i := file.Root(), 0; i < int(op/5%4) && len(n.Kids) > 0; i++ {
			path = append(path, int(step)%len(n.Kids))
			n, step = n.Kids[int(step)%len(n.Kids)], step2
		}
		i, before := int(index%8), string(file.Bytes())
		switch op % 5 {
		case 0:
			err = file.Insert(path, i, value, inplace.Items(inplace.Value(value), inplace.Entries().With("k", inplace.Value(value))))
		case 1:
			err = file.Remove(path, i)
		case 2:
			err = file.Move(path, i, int(step%8))
		case 3:
			if len(path) > 0 {
				err = file.Replace(inplace.Swap{Path: path, Value: inplace.Value(value)})
			}
		case 4:
			err = file.Become(path, inplace.Items(inplace.Value(value), inplace.Value("b")))
		}
		if _, unsure := errors.AsType[*inplace.UnsureError](err); err != nil {
			require.True(t, unsure)
			if op%5 != 4 { // a list is changed item by item, so what was made before stays
				require.Equal(t, before, string(file.Bytes()))
			}
			return
		}
		var n yaml.Node
		require.NoError(t, yaml.Unmarshal(file.Bytes(), &n))
		if len(n.Content) > 0 {
			requireSame(t, n.Content[0], file.Root())
		}
		if op%5 == 0 || op%5 == 2 {
			require.Equal(t, strings.Count(before, "#")+strings.Count(value, "#")*3*b2i(op%5 == 0), strings.Count(string(file.Bytes()), "#"), "%q became %q", before, file.Bytes())
		}
	})
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func requireSame(t *testing.T, n *yaml.Node, got *inplace.Node) {
	if n.Kind == yaml.ScalarNode {
		if n.ShortTag() != "!!null" || n.Value != "" {
			require.Equal(t, n.Value, got.Text)
		}
		return
	}
	step := 1
	if n.Kind == yaml.MappingNode {
		step = 2
	}
	require.Len(t, got.Kids, len(n.Content)/step)
	for i, kid := range got.Kids {
		if step == 2 {
			require.Equal(t, n.Content[2*i].Value, got.Keys[i].Text)
		}
		requireSame(t, n.Content[step*i+step-1], kid)
	}
}
