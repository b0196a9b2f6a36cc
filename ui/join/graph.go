package join

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// graph is what each module of a page imports: at once, and when it is asked for later.
type graph struct {
	now   map[string][]string
	later map[string][]string
}

// meta is what a build tells of itself: what each file read imports, and what each file
// written was made for, exports and imports.
type meta struct {
	Inputs  map[string]struct{ Imports []imported }
	Outputs map[string]struct {
		EntryPoint string
		Exports    []string
		Imports    []imported
	}
}

type imported struct {
	Path, Kind string
	External   bool
}

// split joins modules from entries on, what they share or ask for later apart.
func split(entries []api.EntryPoint, plugins ...api.Plugin) (files []api.OutputFile, told meta, err error) {
	o := joining(plugins...)
	o.EntryPointsAdvanced, o.Splitting, o.Format, o.Metafile = entries, true, api.FormatESModule, true
	r := api.Build(o)
	if err := fault(r.Errors); err != nil {
		return nil, told, err
	}
	if err := json.Unmarshal([]byte(r.Metafile), &told); err != nil {
		return nil, told, fmt.Errorf("join page: %w", err)
	}
	return r.OutputFiles, told, nil
}

// inPlace are entries whose files lie as the modules do.
func inPlace(modules []string) []api.EntryPoint {
	all := make([]api.EntryPoint, len(modules))
	for i, name := range modules {
		all[i] = api.EntryPoint{InputPath: name, OutputPath: strings.TrimSuffix(name, ".js")}
	}
	return all
}

// survey reads which module imports what, from the entries on.
func survey(read api.Plugin, entries []string) (graph, error) {
	_, told, err := split(inPlace(entries), read)
	if err != nil {
		return graph{}, err
	}
	g := graph{map[string][]string{}, map[string][]string{}}
	for name, input := range told.Inputs {
		name = plain(name)
		for _, i := range input.Imports {
			to := g.now
			if i.Kind == "dynamic-import" {
				to = g.later
			}
			to[name] = append(to[name], plain(i.Path))
		}
	}
	return g, nil
}

// plain is the name of a module in the page.
func plain(name string) string { return strings.TrimPrefix(name, namespace+":") }

// whole gives modules with all that they import at once, and what those do.
func (g graph) whole(from ...string) []string {
	all := slices.Clone(from)
	for i := 0; i < len(all); i++ {
		for _, next := range g.now[all[i]] {
			if !slices.Contains(all, next) {
				all = append(all, next)
			}
		}
	}
	return all
}

// asked gives what modules ask for later.
func (g graph) asked(by []string) []string {
	var all []string
	for _, name := range by {
		all = append(all, g.later[name]...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// exports gives the names that modules export.
func exports(read api.Plugin, modules []string) (map[string][]string, error) {
	all := map[string][]string{}
	if len(modules) == 0 {
		return all, nil
	}
	_, told, err := split(inPlace(modules), read)
	if err != nil {
		return nil, err
	}
	for _, o := range told.Outputs {
		if name := plain(o.EntryPoint); slices.Contains(modules, name) {
			all[name] = o.Exports
		}
	}
	return all, nil
}
