package ui

import (
	"io/fs"
	"path"
	"regexp"
)

// staticImport is what a module is loaded with: what it imports later, by import(), is not
// in it. Modules here write each import from the start of a line, with single quotes.
var staticImport = regexp.MustCompile(`(?m)^(?:import|export)\s[^;]*?from '([^']+)';|^import '([^']+)';`)

// Early lists what a browser must have before a module runs: the module itself, and what
// it and its imports import, each once, nearest first. What is not there is left out.
func Early(files fs.FS, module string) []string {
	var all []string
	seen := map[string]bool{module: true}
	for next := []string{module}; len(next) > 0; next = next[1:] {
		data, err := fs.ReadFile(files, next[0])
		if err != nil {
			continue
		}
		all = append(all, next[0])
		for _, m := range staticImport.FindAllSubmatch(data, -1) {
			name := path.Join(path.Dir(next[0]), string(m[1])+string(m[2]))
			if !seen[name] {
				seen[name] = true
				next = append(next, name)
			}
		}
	}
	return all
}
