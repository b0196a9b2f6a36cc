package join

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// What modules are told apart by.
const (
	// namespace is that of modules as they lie in the page.
	namespace = "page"
	// entrance is that of the main one with what others need of the first script.
	entrance = "entrance"
	// pointer is that of what stands for a module of the first script in others.
	pointer = "pointer"
)

// scripts joins the modules of a page, and gives what each of the joined ones imports. All
// of them lie side by side, so that a name from beside them holds.
func scripts(page fs.FS, index []byte, out map[string][]byte) (links, error) {
	main := script.FindSubmatch(index)
	if main == nil {
		return links{}, fmt.Errorf("join page: the index names no script")
	}
	var early []string
	for _, m := range ahead.FindAllSubmatch(index, -1) {
		early = append(early, string(m[1]))
	}
	f, err := firstOf(page, string(main[1]), early)
	if err != nil {
		return links{}, err
	}
	imports, err := f.build(page, out)
	if err != nil {
		return links{}, err
	}
	workers, err := workersOf(page)
	if err != nil {
		return links{}, err
	}
	for _, name := range workers {
		if out[path.Base(name)], err = aside(page, name, api.FormatESModule, imports.names); err != nil {
			return links{}, err
		}
	}
	for _, name := range early {
		if out[path.Base(name)], err = aside(page, name, api.FormatIIFE, imports.names); err != nil {
			return links{}, err
		}
	}
	return imports, nil
}

// workersOf lists the scripts that run as workers, which scripts name from beside them.
func workersOf(page fs.FS) ([]string, error) {
	var all []string
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

// first is the script that shows the page, and what is in it.
type first struct {
	main    string
	modules []string            // in it
	shared  []string            // those of them that others import
	exports map[string][]string // of the shared ones
}

// firstOf finds what belongs into the first script: what the main module needs at once, but
// for what modules need that are asked for ahead, which must not wait for it.
func firstOf(page fs.FS, main string, early []string) (*first, error) {
	g, err := survey(reading(page), append([]string{main}, early...))
	if err != nil {
		return nil, err
	}
	before := g.whole(g.asked(g.whole(early...))...)
	f := &first{main: main}
	for _, name := range g.whole(main) {
		if !slices.Contains(before, name) {
			f.modules = append(f.modules, name)
		}
	}
	for from, all := range g.now {
		for _, to := range all {
			if !f.has(from) && !slices.Contains(early, from) && f.has(to) && !slices.Contains(f.shared, to) {
				f.shared = append(f.shared, to)
			}
		}
	}
	slices.Sort(f.shared)
	f.exports, err = exports(reading(page), f.shared)
	return f, err
}

func (f *first) has(name string) bool { return slices.Contains(f.modules, name) }

// alias is how the first script calls what a module of it exports, as two may export
// things of one name.
func (f *first) alias(module, export string) string {
	return fmt.Sprintf("m%d_%s", slices.Index(f.shared, module), export)
}

// build joins the main module and, script by script, what is asked for later.
func (f *first) build(page fs.FS, out map[string][]byte) (links, error) {
	main := api.EntryPoint{InputPath: f.main, OutputPath: strings.TrimSuffix(path.Base(f.main), ".js")}
	files, told, err := split([]api.EntryPoint{main}, f.pointing(), reading(page))
	if err != nil {
		return links{}, err
	}
	for _, file := range files {
		out[strings.TrimPrefix(file.Path, "/")] = file.Contents
	}
	return linksOf(told), nil
}

// pointing has the first script export what others need of it, and others take it from
// there: what is in it is in no other.
func (f *first) pointing() api.Plugin {
	return api.Plugin{Name: "first script", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `.*`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			if a.Kind == api.ResolveEntryPoint {
				return api.OnResolveResult{Path: a.Path, Namespace: entrance}, nil
			}
			if a.Namespace == pointer {
				return api.OnResolveResult{Path: a.Path, External: true}, nil
			}
			to := path.Join(path.Dir(a.Importer), a.Path)
			if a.Namespace == namespace && a.Kind != api.ResolveJSDynamicImport && !f.has(a.Importer) && f.has(to) {
				return api.OnResolveResult{Path: to, Namespace: pointer}, nil
			}
			return api.OnResolveResult{}, nil
		})
		b.OnLoad(api.OnLoadOptions{Filter: `.*`, Namespace: entrance}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			text := f.entrance()
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, nil
		})
		b.OnLoad(api.OnLoadOptions{Filter: `.*`, Namespace: pointer}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			text := f.pointerTo(a.Path)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, nil
		})
	}}
}

// entrance is the main module, with what others need of the first script.
func (f *first) entrance() string {
	var b strings.Builder
	fmt.Fprintf(&b, "import './%s';\n", path.Base(f.main))
	for _, module := range f.shared {
		for _, name := range f.exports[module] {
			fmt.Fprintf(&b, "export {%s as %s} from %q;\n", name, f.alias(module, name), relative(f.main, module))
		}
	}
	return b.String()
}

// pointerTo stands for a module of the first script in others.
func (f *first) pointerTo(module string) string {
	var b strings.Builder
	for _, name := range f.exports[module] {
		fmt.Fprintf(&b, "export {%s as %s} from './%s';\n", f.alias(module, name), name, path.Base(f.main))
	}
	return b.String()
}

// relative is how a module is named from where the main one lies.
func relative(main, module string) string {
	return strings.Repeat("../", strings.Count(main, "/")) + "./" + module
}

// joining is how scripts are joined, whatever of them.
func joining(plugins ...api.Plugin) api.BuildOptions {
	return api.BuildOptions{
		Bundle: true, Outdir: "/", AbsWorkingDir: "/", Plugins: plugins,
		MinifyWhitespace: true, MinifySyntax: true, LegalComments: api.LegalCommentsNone,
	}
}

// aside makes a script of its own of a module that waits for no other: with what it imports
// in it, though others have that too. What it asks for later are the joined scripts, by the
// names of what they were.
func aside(page fs.FS, name string, format api.Format, joined map[string]string) ([]byte, error) {
	o := joining(leaving(joined), reading(page))
	o.EntryPoints, o.Format = []string{name}, format
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

// links are the joined scripts: what each imports, by their names, and the name of each
// module that one was made for.
type links struct {
	imports map[string][]string
	names   map[string]string
}

func linksOf(told meta) links {
	all := links{map[string][]string{}, map[string]string{}}
	for name, o := range told.Outputs {
		if _, was, ok := strings.Cut(o.EntryPoint, namespace+":"); ok {
			all.names[was] = name
		}
		for _, i := range o.Imports {
			if i.Kind == "import-statement" && !i.External {
				all.imports[name] = append(all.imports[name], i.Path)
			}
		}
	}
	return all
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
