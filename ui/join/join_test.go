package join_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/ui"
	"linkboy/ui/join"
)

// asked is what the index names.
var asked = regexp.MustCompile(`(?:src|href)="([^":]+\.(?:js|css))"`)

func TestThePageInFewFiles(t *testing.T) {
	files, err := join.Files(ui.Files())
	require.NoError(t, err)
	index := string(files["index.html"])
	early := asked.FindAllStringSubmatch(index, -1)
	require.Less(t, len(early), 10, index)
	for _, m := range early {
		require.True(t, strings.HasPrefix(m[1], join.Folder), m[1])
		require.Contains(t, files, m[1])
	}

	main := fileOf(files, "main.js")
	require.NotEmpty(t, main)
	require.NotContains(t, main, "uvmap", "what other places need comes with them")
	for name, data := range files {
		if strings.Contains(string(data), "createStore(") {
			require.Equal(t, "main.js", path.Base(name), "what is in the first script is in no other")
		}
	}
	require.NotEmpty(t, fileOf(files, "desk-worker.js"), "which is named by the script beside it")
	was, err := fs.ReadFile(ui.Files(), "index.html")
	require.NoError(t, err)
	head, rest, _ := strings.Cut(string(was), "<script")
	require.True(t, strings.HasPrefix(index, head), "the rest of the index stays")
	_, rest, _ = strings.Cut(rest, "</head>")
	require.True(t, strings.HasSuffix(index, rest))

	ahead := fileOf(files, "ahead.js")
	require.NotContains(t, ahead, "import\"", "it waits for no other file")
	require.Less(t, strings.Index(index, "ahead.js"), strings.Index(index, "stylesheet"), "nor for a style")
	require.Regexp(t, `<script src="[^"]+/ahead\.js"></script>`, index)
	for _, m := range regexp.MustCompile(`import\("\./([^"]+)"\)`).FindAllStringSubmatch(ahead, -1) {
		require.NotEmpty(t, fileOf(files, m[1]), "the words of a language, as all of the page has them")
	}
	require.Regexp(t, `import\("\./de-\w+\.js"\)`, ahead)
}

// A page in few files does what it does as it lies, by another program that reads modules:
// whatever is called alike, is the default of its module, changes, or is asked for later or
// ahead.
func TestJoinedRunsAsItLies(t *testing.T) {
	node := outside.Tool(t, "node")
	page := fstest.MapFS{
		"package.json": {Data: []byte(`{"type": "module"}`)},
		"index.html":   {Data: []byte(`<script type="module" async src="ahead.js"></script><link rel="stylesheet" href="a.css"><script type="module" src="main.js"></script>`)},
		"a.css":        {Data: []byte(`a { color: red }`)},
		"ahead.js":     {Data: []byte(`void import('./words.js');`)},
		"words.js":     {Data: []byte("import { loud } from './loud.js';\nexport const words = loud('words');\n")},
		"loud.js":      {Data: []byte("let calls = 0;\nexport const loud = (text) => `${text}! ${++calls}`;\n")},
		"one/is.js":    {Data: []byte("export const name = 'one';\nexport default function () { return 'default of one'; }\n")},
		"two/is.js":    {Data: []byte("export let name = 'two';\nexport const change = () => { name = 'two, changed'; };\n")},
		"main.js": {Data: []byte(`
			import { name } from './one/is.js';
			import { name as other, change } from './two/is.js';
			import { loud } from './loud.js';
			const { words } = await import('./words.js');
			console.log(words, name, other, loud('main'));
			setTimeout(async () => {
				change();
				const { later } = await import('./three/later.js');
				console.log(later(), loud('end'));
			});`)},
		"three/later.js": {Data: []byte(`
			import def, { name as one } from '../one/is.js';
			import { name } from '../two/is.js';
			import { loud } from '../loud.js';
			export const later = () => [def(), one, name, loud('later')].join();`)},
	}
	run := func(files map[string][]byte) string {
		dir := t.TempDir()
		main := ""
		for name, data := range files {
			require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
			if path.Base(name) == "main.js" {
				main = filepath.Join(dir, name)
			}
		}
		out, err := exec.Command(node, main).CombinedOutput()
		require.NoError(t, err, string(out))
		return string(out)
	}
	asItLies := map[string][]byte{}
	for name, file := range page {
		asItLies[name] = file.Data
	}
	joined, err := join.Files(page)
	require.NoError(t, err)
	joined["package.json"] = asItLies["package.json"]
	want := "words! 1 one two main! 2\ndefault of one,one,two, changed,later! 3 end! 4\n"
	require.Equal(t, want, run(asItLies))
	require.Equal(t, want, run(joined))
	require.NotContains(t, fileOf(joined, "main.js"), "calls", "what is asked for ahead does not wait for the first script")
}

// fileOf is a joined file.
func fileOf(files map[string][]byte, name string) string {
	for full, data := range files {
		if folder, base, found := strings.Cut(full, "/"); found && base == name && strings.HasPrefix(folder, join.Folder) {
			return string(data)
		}
	}
	return ""
}

// What lies under a name is the same for ever, whatever joined it.
func TestTheFolderIsNamedByWhatIsInIt(t *testing.T) {
	folderOf := func(script string) string {
		files, err := join.Files(fstest.MapFS{
			"index.html": {Data: []byte(`<link rel="stylesheet" href="a.css"><script type="module" src="main.js"></script>`)},
			"a.css":      {Data: []byte(`a { color: red }`)}, "main.js": {Data: []byte(script)},
		})
		require.NoError(t, err)
		return regexp.MustCompile(`src="([^"]+)/main\.js"`).FindStringSubmatch(string(files["index.html"]))[1]
	}
	one := folderOf("console.log(1);")
	require.Equal(t, one, folderOf("console.log( 1 );"))
	require.NotEqual(t, one, folderOf("console.log(2);"))
}

// What a later sheet says of an element holds, so the order of the index is kept.
func TestStylesKeepTheirOrder(t *testing.T) {
	files, err := join.Files(ui.Files())
	require.NoError(t, err)
	index, err := fs.ReadFile(ui.Files(), "index.html")
	require.NoError(t, err)
	sheet, at := fileOf(files, "page.css"), 0
	for _, m := range regexp.MustCompile(`href="([^"]+\.css)"`).FindAllSubmatch(index, -1) {
		text, err := fs.ReadFile(ui.Files(), string(m[1]))
		require.NoError(t, err)
		class := regexp.MustCompile(`(?m)^\.[a-z][a-z-]*`).Find(text)
		if class == nil {
			continue
		}
		next := strings.Index(sheet[at:], string(class))
		require.GreaterOrEqual(t, next, 0, "%s of %s", class, m[1])
		at += next
	}
	require.NotContains(t, sheet, "/*")
}

func TestWhatCannotBeJoined(t *testing.T) {
	page := func(main string) fstest.MapFS {
		return fstest.MapFS{
			"index.html": {Data: []byte(`<link rel="stylesheet" href="a.css"><script type="module" src="main.js"></script>`)},
			"a.css":      {Data: []byte(`a { color: red }`)},
			"main.js":    {Data: []byte(main)},
		}
	}
	_, err := join.Files(page("export const a = 1;"))
	require.NoError(t, err)
	_, err = join.Files(page("import './gone.js';"))
	require.ErrorContains(t, err, "gone.js")
	_, err = join.Files(page("const a = ;\n"))
	require.ErrorContains(t, err, "main.js:1:10")
	_, err = join.Files(fstest.MapFS{})
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = join.Files(fstest.MapFS{"index.html": {Data: []byte("<p>")}})
	require.ErrorContains(t, err, "names no script")
	missing := page("")
	delete(missing, "a.css")
	_, err = join.Files(missing)
	require.ErrorContains(t, err, "a.css")
}

// BenchmarkFiles: what a daemon's child does once; in the daemon itself its garbage would
// keep frames waiting.
func BenchmarkFiles(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := join.Files(ui.Files())
		require.NoError(b, err)
	}
}
