// Package join makes few files of the page's many, for a phone that waits for each: the
// modules that the page needs before it shows anything become one, every place of it one
// more, and all styles one. The page runs the same either way.
package join

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"

	"linkboy/ui"
)

const (
	// Folder is how the name of the folder begins where the files lie that Files makes. It
	// ends in the sum of them, so that what lies under a name never changes.
	Folder = "joined-"
	// index is the page itself, which names its scripts and styles.
	index = "index.html"
	// namespace is what modules of the page are told apart by.
	namespace = "page"
	// sheet is all styles in one.
	sheet = "page.css"
)

var (
	script     = regexp.MustCompile(`<script type="module" src="([^":]+\.js)"></script>`)
	ahead      = regexp.MustCompile(`<script type="module" async src="([^":]+\.js)"></script>`)
	styles     = regexp.MustCompile(`(?:<link rel="stylesheet" href="[^":]+\.css">\s*)+`)
	stylesheet = regexp.MustCompile(`<link rel="stylesheet" href="([^":]+\.css)">`)
	worker     = regexp.MustCompile(`new Worker\(new URL\('\./([^']+)', import\.meta\.url\)`)
)

// Files gives the files that stand for those of a page, by their names: the index that
// asks for them, and in Folder the scripts and the styles. Scripts keep the names of what
// is in them, so that a trace of a fault can be read.
//
// An error tells what in the page cannot be joined: the page as it lies serves then.
func Files(page fs.FS) (map[string][]byte, error) {
	text, err := fs.ReadFile(page, index)
	if err != nil {
		return nil, fmt.Errorf("join page: %w", err)
	}
	entries, err := entriesOf(page, text)
	if err != nil {
		return nil, err
	}
	made := map[string][]byte{}
	imports, err := scripts(page, entries, made)
	if err != nil {
		return nil, err
	}
	for _, m := range ahead.FindAllSubmatch(text, -1) {
		if made[path.Base(string(m[1]))], err = aside(page, string(m[1]), imports.names); err != nil {
			return nil, err
		}
	}
	if made[sheet], err = sheets(page, text); err != nil {
		return nil, err
	}
	folder := Folder + ui.Sum(made) + "/"
	out := map[string][]byte{index: pointed(text, folder, imports)}
	for name, data := range made {
		out[folder+name] = data
	}
	return out, nil
}

// entriesOf lists the scripts that the index names, and those that run as workers, which
// scripts name from beside them.
func entriesOf(page fs.FS, text []byte) ([]string, error) {
	var all []string
	for _, m := range script.FindAllSubmatch(text, -1) {
		all = append(all, string(m[1]))
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("join page: %s names no script", index)
	}
	err := fs.WalkDir(page, ".", func(name string, _ fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".js" {
			return err
		}
		data, err := fs.ReadFile(page, name)
		for _, m := range worker.FindAllSubmatch(data, -1) {
			all = append(all, path.Join(path.Dir(name), string(m[1])))
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("join page: %w", err)
	}
	return all, nil
}

// scripts joins modules from their entries, and gives what each of the joined ones imports.
// All of them lie side by side, so that a name from beside them holds.
func scripts(page fs.FS, entries []string, out map[string][]byte) (links, error) {
	points := make([]api.EntryPoint, len(entries))
	for i, name := range entries {
		points[i] = api.EntryPoint{InputPath: name, OutputPath: strings.TrimSuffix(path.Base(name), ".js")}
	}
	o := joining(reading(page))
	o.EntryPointsAdvanced, o.Splitting, o.Format, o.Metafile = points, true, api.FormatESModule, true
	r := api.Build(o)
	if err := fault(r.Errors); err != nil {
		return links{}, err
	}
	for _, f := range r.OutputFiles {
		out[strings.TrimPrefix(f.Path, "/")] = f.Contents
	}
	return linksOf(r.Metafile)
}

// joining is how scripts are joined, whatever of them.
func joining(plugins ...api.Plugin) api.BuildOptions {
	return api.BuildOptions{
		Bundle: true, Outdir: "/", AbsWorkingDir: "/", Plugins: plugins,
		MinifyWhitespace: true, MinifySyntax: true, LegalComments: api.LegalCommentsNone,
	}
}

// aside makes a script of its own, which runs as soon as the index names it, of a module
// that waits for no other: with what it imports in it, though others have that too. What it
// asks for later are the joined scripts, by the names of what they were.
func aside(page fs.FS, name string, joined map[string]string) ([]byte, error) {
	o := joining(leaving(joined), reading(page))
	o.EntryPoints, o.Format = []string{name}, api.FormatIIFE
	r := api.Build(o)
	if err := fault(r.Errors); err != nil {
		return nil, err
	}
	return r.OutputFiles[0].Contents, nil
}

// leaving has what is asked for later come from the joined scripts.
func leaving(joined map[string]string) api.Plugin {
	return api.Plugin{Name: "joined", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `.*`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			if a.Kind != api.ResolveJSDynamicImport {
				return api.OnResolveResult{}, nil
			}
			was := path.Join(path.Dir(a.Importer), a.Path)
			name, ok := joined[was]
			if !ok {
				return api.OnResolveResult{}, fmt.Errorf("%s is in none of the joined scripts", was)
			}
			return api.OnResolveResult{Path: "./" + name, External: true}, nil
		})
	}}
}

// links are the joined scripts: what each imports, by their names, and the name of each
// module that one was made for.
type links struct {
	imports map[string][]string
	names   map[string]string
}

func linksOf(meta string) (links, error) {
	var told struct {
		Outputs map[string]struct {
			EntryPoint string
			Imports    []struct{ Path, Kind string }
		}
	}
	if err := json.Unmarshal([]byte(meta), &told); err != nil {
		return links{}, fmt.Errorf("join page: %w", err)
	}
	all := links{map[string][]string{}, map[string]string{}}
	for name, o := range told.Outputs {
		if _, was, ok := strings.Cut(o.EntryPoint, namespace+":"); ok {
			all.names[was] = name
		}
		for _, i := range o.Imports {
			if i.Kind == "import-statement" {
				all.imports[name] = append(all.imports[name], i.Path)
			}
		}
	}
	return all, nil
}

// sheets joins the styles in the order of the index, which decides where two say
// something of one element.
func sheets(page fs.FS, text []byte) ([]byte, error) {
	var all bytes.Buffer
	for _, m := range stylesheet.FindAllSubmatch(text, -1) {
		data, err := fs.ReadFile(page, string(m[1]))
		if err != nil {
			return nil, fmt.Errorf("join page: %w", err)
		}
		all.Write(data)
	}
	r := api.Transform(all.String(), api.TransformOptions{Loader: api.LoaderCSS, MinifyWhitespace: true, MinifySyntax: true})
	return r.Code, fault(r.Errors)
}

// pointed gives the index that asks for the joined files, with a hint for each that a
// browser else learns of only when the one that imports it has come. What a script asks for
// itself is not hinted: of two languages it asks for one.
func pointed(text []byte, folder string, imports links) []byte {
	text = ahead.ReplaceAllFunc(text, func(tag []byte) []byte {
		return fmt.Appendf(nil, "<script src=%q></script>", folder+path.Base(string(ahead.FindSubmatch(tag)[1])))
	})
	text = styles.ReplaceAll(text, fmt.Appendf(nil, "<link rel=\"stylesheet\" href=%q>\n", folder+sheet))
	var hinted []string
	return script.ReplaceAllFunc(text, func(tag []byte) []byte {
		was := string(script.FindSubmatch(tag)[1])
		name := path.Base(was)
		var hints bytes.Buffer
		for _, i := range imports.before(name) {
			if !slices.Contains(hinted, i) {
				hinted = append(hinted, i)
				fmt.Fprintf(&hints, "<link rel=\"modulepreload\" href=%q>\n", folder+i)
			}
		}
		return append(hints.Bytes(), bytes.Replace(tag, []byte(was), []byte(folder+name), 1)...)
	})
}

// before lists what must be there before a script runs, nearest first, without itself.
func (l links) before(name string) []string {
	all := []string{name}
	for i := 0; i < len(all); i++ {
		for _, next := range l.imports[all[i]] {
			if !slices.Contains(all, next) {
				all = append(all, next)
			}
		}
	}
	return all[1:]
}

// reading has files read from the page and not from the disk.
func reading(page fs.FS) api.Plugin {
	return api.Plugin{Name: namespace, Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `.*`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			name := a.Path
			if a.Kind != api.ResolveEntryPoint {
				name = path.Join(path.Dir(a.Importer), a.Path)
			}
			return api.OnResolveResult{Path: name, Namespace: namespace}, nil
		})
		b.OnLoad(api.OnLoadOptions{Filter: `.*`, Namespace: namespace}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			data, err := fs.ReadFile(page, a.Path)
			text := string(data)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, err
		})
	}}
}

// fault says what cannot be joined, and where.
func fault(messages []api.Message) error {
	var all []error
	for _, m := range messages {
		where := ""
		if m.Location != nil {
			where = fmt.Sprintf("%s:%d:%d: ", m.Location.File, m.Location.Line, m.Location.Column)
		}
		all = append(all, fmt.Errorf("join page: %s%s", where, m.Text))
	}
	return errors.Join(all...)
}
