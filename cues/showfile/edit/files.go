package edit

import (
	"errors"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"linkboy/cues/showfile"
)

// places lists the files of the locations as the draft has them, by name.
func (d *draft) places() []string {
	var out []string
	for file := range d.after() {
		if path.Dir(file) == "locations" {
			out = append(out, file)
		}
	}
	slices.Sort(out)
	return out
}

// placeName gives the name of the location of a file.
func placeName(file string) string { return strings.TrimSuffix(path.Base(file), ".yaml") }

// after gives the files as the draft makes them.
func (d *draft) after() map[string][]byte {
	out := maps.Clone(d.files)
	for file, f := range d.opened {
		out[file] = f.Bytes()
	}
	for file := range d.gone {
		delete(out, file)
	}
	return out
}

// stepOf gives what makes files other files, as a step.
func stepOf(before, after map[string][]byte) *step {
	s := &step{Files: map[string][]hunk{}}
	for _, name := range changed(before, after) {
		s.Files[name] = diff(before[name], after[name])
		if _, was := before[name]; !was {
			s.Made = append(s.Made, name)
		}
		if _, is := after[name]; !is {
			s.Gone = append(s.Gone, name)
		}
	}
	return s
}

// digest tells the texts of a file apart, and no file from an empty one.
func digest(files map[string][]byte, name string) string {
	text, there := files[name]
	if !there {
		return ""
	}
	return hash(text)
}

// put makes one file what after says, when it still is what before says.
func (e *Editor) put(name string, before, after map[string][]byte) error {
	file := filepath.Join(e.dir, filepath.FromSlash(name))
	old, was := before[name]
	text, is := after[name]
	if !was {
		return showfile.CreateAtomic(file, text)
	}
	if err := showfile.WriteAtomic(file+".bak", old); err != nil {
		return err
	}
	if !is {
		return showfile.RemoveAtomic(file, old)
	}
	return showfile.ReplaceAtomic(file, old, text)
}

// putBack undoes put.
func (e *Editor) putBack(name string, before, after map[string][]byte) error {
	file := filepath.Join(e.dir, filepath.FromSlash(name))
	old, was := before[name]
	text, is := after[name]
	switch {
	case !was:
		return showfile.RemoveAtomic(file, text)
	case !is:
		return showfile.CreateAtomic(file, old)
	}
	return showfile.ReplaceAtomic(file, text, old)
}

// write writes the history, then each file that differs, with the old one
// beside it as FILE.bak. When one fails, those before it are put back.
func (e *Editor) write(after map[string][]byte, next *history) error {
	if err := next.write(filepath.Join(e.dir, HistoryFile)); err != nil {
		return err
	}
	var done []string
	for _, name := range changed(e.files, after) {
		err := e.put(name, e.files, after)
		if err == nil {
			done = append(done, name)
			continue
		}
		for _, name := range slices.Backward(done) {
			err = errors.Join(err, e.putBack(name, e.files, after))
		}
		return errors.Join(err, e.history.write(filepath.Join(e.dir, HistoryFile)))
	}
	return nil
}
