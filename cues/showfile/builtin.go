package showfile

import (
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"sync"

	"linkboy/colour/lamp"
)

//go:embed lamps/*.yaml
var builtinFiles embed.FS

// builtinSource is what lamp.Type.Source says of a built-in type.
const builtinSource = "built-in"

// BuiltinTypes gives the generic lamp types that every show can use, in order
// of name. Their numbers are invented. The slice is the caller's; the types
// are shared and must not be changed.
func BuiltinTypes() []*lamp.Type { return slices.Clone(readBuiltin()) }

// readBuiltin panics on a problem: the files are part of the program.
var readBuiltin = sync.OnceValue(func() []*lamp.Type {
	files, err := fs.Glob(builtinFiles, "lamps/*.yaml")
	if err != nil {
		panic(err)
	}
	var types []*lamp.Type
	for _, file := range files {
		src, err := builtinFiles.ReadFile(file)
		if err != nil {
			panic(err)
		}
		s := &sink{}
		r := &reader{file: file, sink: s}
		if root, ok := r.parse(src); ok {
			types = append(types, r.lampType(root, baseName(file), builtinSource))
		}
		if problems := s.sorted(); len(problems) > 0 {
			panic(fmt.Sprintf("built-in lamp type: %v", problems))
		}
	}
	return types
})
