package edit

import (
	"bytes"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// maxBytes is more than a show file can have; of a longer one that much is read,
// which is enough for the loader to refuse it.
const maxBytes = 2 << 20

// readFiles reads the YAML files of the show in a folder, by slash path.
func readFiles(dir string) (map[string][]byte, error) {
	files := map[string][]byte{}
	root := os.DirFS(dir)
	for _, pattern := range []string{"show.yaml", "kit.yaml", "lamps/*.yaml", "locations/*.yaml"} {
		names, err := fs.Glob(root, pattern)
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			if strings.HasPrefix(path.Base(name), ".") {
				continue
			}
			if info, err := fs.Stat(root, name); err == nil && info.IsDir() {
				continue // the loader warns of it
			}
			data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
			if err != nil {
				return nil, err
			}
			files[name] = data[:min(len(data), maxBytes)]
		}
	}
	return files, nil
}

// changed lists the files in which two readings of a show differ.
func changed(a, b map[string][]byte) []string {
	var out []string
	for name, data := range a {
		if other, there := b[name]; !there || !bytes.Equal(data, other) {
			out = append(out, name)
		}
	}
	for name := range b {
		if _, there := a[name]; !there {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// load reads a show from files in memory, and what they name from the folder.
func load(dir string, files map[string][]byte) (*cues.Show, cues.Problems) {
	show, problems := showfile.LoadFS(overlay{files, os.DirFS(dir)}, dir)
	if show != nil {
		show.Dir = dir
	}
	return show, problems
}
