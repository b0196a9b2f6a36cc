package edit

import (
	"bytes"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// overlay is a folder whose YAML files are those in memory, whatever the disk
// has by now.
type overlay struct {
	files map[string][]byte
	disk  fs.FS
}

// Open implements fs.FS.
func (o overlay) Open(name string) (fs.File, error) {
	if data, known := o.files[name]; known {
		return &memoryFile{*bytes.NewReader(data), memoryInfo{path.Base(name), int64(len(data))}}, nil
	}
	if isShowFile(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return o.disk.Open(name)
}

// isShowFile reports whether readFiles reads a file of that name.
func isShowFile(name string) bool {
	dir := path.Dir(name)
	return name == "show.yaml" || name == "kit.yaml" ||
		(dir == "lamps" || dir == "locations") && path.Ext(name) == ".yaml" && !strings.HasPrefix(path.Base(name), ".")
}

// ReadDir implements fs.ReadDirFS.
func (o overlay) ReadDir(dir string) ([]fs.DirEntry, error) {
	var out []fs.DirEntry
	entries, err := fs.ReadDir(o.disk, dir)
	for _, e := range entries {
		if e.IsDir() || !isShowFile(path.Join(dir, e.Name())) {
			out = append(out, e)
		}
	}
	for name, data := range o.files {
		if path.Dir(name) == dir {
			out, err = append(out, fs.FileInfoToDirEntry(memoryInfo{path.Base(name), int64(len(data))})), nil
		}
	}
	slices.SortFunc(out, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return out, err
}

// memoryFile is a file in memory.
type memoryFile struct {
	bytes.Reader
	info memoryInfo
}

func (f *memoryFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *memoryFile) Close() error               { return nil }

type memoryInfo struct {
	name string
	size int64
}

func (i memoryInfo) Name() string     { return i.name }
func (i memoryInfo) Size() int64      { return i.size }
func (memoryInfo) Mode() fs.FileMode  { return 0o444 }
func (memoryInfo) ModTime() time.Time { return time.Time{} }
func (memoryInfo) IsDir() bool        { return false }
func (memoryInfo) Sys() any           { return nil }
