package watch

import (
	"cmp"
	"crypto/sha256"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// Bounds of what is looked at, so that a folder that holds a disk full of
// something else costs little.
const (
	filesMost   = 2000
	foldersMost = 200
	bytesMost   = 64 << 20 // of one file; beyond, its date and size tell versions apart
)

// Files are the files of a show and their folders, as they were at one time.
type Files struct {
	files   map[string]file
	folders []string // slash paths, "." first
}

// file is what tells versions of a file apart.
type file struct {
	size int64
	mod  time.Time
	sum  [sha256.Size]byte
}

// sure is how old a file must be for its date to tell that it is the same: file
// systems count time in steps of up to two seconds.
const sure = 3 * time.Second

// Scan reads the files of the show in fsys. What is as old and as long as in
// before is not read again, unless it was young then.
func Scan(fsys fs.FS, before Files, now time.Time) (Files, error) {
	out := Files{files: map[string]file{}}
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && name == ".":
			return err
		case err != nil: // it went meanwhile, or may not be read: the loader says so
			return nil
		case d.IsDir():
			if name != "." && passOver(name) || len(out.folders) == foldersMost {
				return fs.SkipDir
			}
			out.folders = append(out.folders, name)
			return nil
		case !matters(name):
			return nil
		case len(out.files) == filesMost:
			return fs.SkipAll
		}
		if f, ok := look(fsys, name, before.files[name], now); ok {
			out.files[name] = f
		}
		return nil
	})
	return out, err
}

// look takes in one file. It is false for one that is not there any more.
func look(fsys fs.FS, name string, before file, now time.Time) (file, bool) {
	info, err := fs.Stat(fsys, name) // what a link points to
	if err != nil || !info.Mode().IsRegular() {
		return file{}, false
	}
	f := file{size: info.Size(), mod: info.ModTime()}
	if f.size == before.size && f.mod.Equal(before.mod) && now.Sub(f.mod) > sure || f.size > bytesMost {
		f.sum = before.sum
		return f, true
	}
	in, err := fsys.Open(name)
	if err != nil {
		return f, true
	}
	defer in.Close()
	h := sha256.New()
	if _, err := io.Copy(h, io.LimitReader(in, bytesMost)); err == nil {
		h.Sum(f.sum[:0])
	}
	return f, true
}

// matters tells whether a file can be part of a show.
func matters(name string) bool {
	base := path.Base(name)
	if strings.HasPrefix(base, ".") || strings.HasSuffix(base, "~") {
		return false
	}
	switch strings.ToLower(path.Ext(base)) {
	case ".yaml", ".csv", ".obj", ".gdtf":
		return true
	}
	return false
}

// passOver tells whether a folder holds nothing of a show.
func passOver(name string) bool {
	return name == "cache" || strings.HasPrefix(path.Base(name), ".")
}

// Changed lists the files whose bytes differ between two times, those that came
// and those that went, in order.
func (f Files) Changed(since Files) []string {
	var names []string
	for name, is := range f.files {
		was, known := since.files[name]
		differs := is.sum != was.sum || is.size > bytesMost && (is.size != was.size || !is.mod.Equal(was.mod))
		if !known || differs {
			names = append(names, name)
		}
	}
	for name := range since.files {
		if _, there := f.files[name]; !there {
			names = append(names, name)
		}
	}
	slices.SortFunc(names, cmp.Compare)
	return names
}
