package showfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour/lamp"
	"linkboy/colour/mesh"
	"linkboy/colour/spectra"
	"linkboy/cues"
)

// maxFiles is how many files a folder of lamps or locations can have.
const maxFiles = 500

// Load reads the show in folder dir. See LoadFS.
func Load(dir string) (*cues.Show, cues.Problems) {
	show, problems := LoadFS(os.DirFS(dir), dir)
	if show != nil {
		show.Dir = dir
	}
	return show, problems
}

// LoadFS reads the show in fsys; name is that of the folder: it
// stands in problems that concern the whole, and for a title that is missing. The show is nil only when nothing usable could be read.
// When the problems have errors, a show that is not nil holds what could be
// understood; it can be looked at but must not be played. Problems are
// complete and sorted by place. Files in them are slash paths in the folder.
func LoadFS(fsys fs.FS, name string) (*cues.Show, cues.Problems) {
	l := &loader{
		fsys:   fsys,
		sink:   &sink{},
		show:   &cues.Show{},
		places: map[place]cues.Pos{},
		units:  map[cues.Pos]string{},
		types:  map[string]*lamp.Type{},
		kit:    map[string]*cues.KitLamp{},

		measured: map[string]*spectra.Spectrum{},
		meshes:   map[string]*mesh.Mesh{},
	}
	if _, err := fs.Stat(fsys, "show.yaml"); errors.Is(err, fs.ErrNotExist) {
		return nil, cues.Problems{cues.NewProblem(cues.Pos{File: "show.yaml"}, cues.CodeFileMissing,
			fmt.Sprintf("%s is no show", name), "it has no file show.yaml", "name the folder of a show, or make one with: linkboy new DIR")}
	}
	read := l.readShow()
	if base := filepath.Base(name); l.show.Title == "" && base != "." {
		l.show.Title = base
	}
	l.readTypes()
	kitRead := l.readKit()
	l.readLocations()
	l.check()
	problems := l.sink.sorted()
	if !read && !kitRead && len(l.show.Locations) == 0 {
		return nil, problems
	}
	return l.show, problems
}

// loader holds what is known while a show is read.
type loader struct {
	fsys fs.FS
	sink *sink
	show *cues.Show

	places map[place]cues.Pos  // where names stand that the model keeps without a place
	units  map[cues.Pos]string // the unit behind a setting, by where it stands
	once   map[onceKey]bool    // problems told already

	// By name; nil for one whose own description has a problem, so that
	// whoever refers to it is not blamed as well.
	types    map[string]*lamp.Type
	kit      map[string]*cues.KitLamp
	measured map[string]*spectra.Spectrum // by file
	meshes   map[string]*mesh.Mesh        // by file
	kitKnown bool                         // kit.yaml could be read, so a name that is not in kit is wrong
	showRead bool                         // show.yaml could be read, so a name that is not in it is wrong
	broken   map[string]bool              // files with errors: what they lack may stand in the part that was not understood
}

// place names a text in the model: the key of a thing.
type place struct {
	of  any // *cues.Look, *cues.Cue ...
	key string
}

func (l *loader) reader(file string) *reader { return &reader{file: file, sink: l.sink} }

// open reads and parses one file. A file that is not there gives false and
// no problem when it is optional.
func (l *loader) open(file string, optional bool) (*reader, *yaml.Node, bool) {
	r := l.reader(file)
	src, err := l.readFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist) && optional:
		return r, nil, false
	case errors.Is(err, fs.ErrNotExist):
		l.sink.add(cues.NewProblem(cues.Pos{File: file}, cues.CodeFileMissing, "the show has no file "+file,
			"every show needs it", "make it; linkboy new DIR shows one"))
		return r, nil, false
	case err != nil:
		l.sink.add(cues.NewProblem(cues.Pos{File: file}, cues.CodeFileRead, file+" cannot be read",
			reason(err), "check what it is and who may read it"))
		return r, nil, false
	}
	root, ok := r.parse(src)
	return r, root, ok
}

// readFile reads at most one byte more than a file may have.
func (l *loader) readFile(file string) ([]byte, error) {
	f, err := l.fsys.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxFileBytes+1))
}

// reason leaves the path out of an error that already names its file.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// folder lists the YAML files of a folder with their names without ending, in
// order, and warns of what lies there and is not read.
func (l *loader) folder(dir string) (files []string) {
	entries, err := fs.ReadDir(l.fsys, dir)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			l.sink.add(cues.NewProblem(cues.Pos{File: dir}, cues.CodeFileRead, dir+" cannot be read",
				reason(err), "check what it is and who may read it"))
		}
		return nil
	}
	for _, e := range entries {
		file := path.Join(dir, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."), strings.HasSuffix(e.Name(), ".bak"), strings.HasSuffix(e.Name(), "~"):
		case e.IsDir() || path.Ext(file) != ".yaml":
			l.sink.add(cues.NewProblem(cues.Pos{File: file}, cues.CodeFileIgnored, file+" is not read",
				"only files that end in .yaml are read here", "rename it, or move it elsewhere"))
		case len(files) == maxFiles:
			l.sink.add(cues.NewProblem(cues.Pos{File: file}, cues.CodeFileIgnored, file+" is not read",
				fmt.Sprintf("a folder has at most %d files", maxFiles), "move what is not needed elsewhere"))
			return files
		default:
			files = append(files, file)
		}
	}
	return files
}

// baseName gives the name that a file gives to what it holds.
func baseName(file string) string { return strings.TrimSuffix(path.Base(file), ".yaml") }
