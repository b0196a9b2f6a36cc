package showfile

import (
	"io/fs"
	"os"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

// Load reads the show in folder dir. See LoadFS.
func Load(dir string) (*cues.Show, cues.Problems) {
	show, problems := LoadFS(os.DirFS(dir), dir)
	if show != nil {
		show.Dir = dir
	}
	return show, problems
}

// LoadFS reads the show in fsys; name stands in problems that concern the
// folder as a whole. The show is nil only when nothing usable could be read:
// when it is not and the problems have errors, the show holds what could be
// understood and must not be played. Problems are complete and sorted by place.
// Files in them are slash paths relative to the folder.
func LoadFS(fsys fs.FS, name string) (*cues.Show, cues.Problems) {
	return nil, nil
}

// BuiltinTypes gives the generic lamp types that every show can use, in order
// of name. Their numbers are invented. The types are shared: do not change them.
func BuiltinTypes() []*lamp.Type {
	return nil
}
