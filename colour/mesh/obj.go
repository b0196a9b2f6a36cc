package mesh

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"linkboy/colour/solid"
	"linkboy/colour/table"
)

// What a file may hold. Light is computed for each triangle and each cell, and a
// set piece that needs more is modelled finer than its picture shows.
const (
	MostTriangles = 5000
	MostPoints    = 20_000
	// mostCoordinate keeps areas and volumes within what numbers hold.
	mostCoordinate = 1e6
)

// ReadOBJ reads the vertices and faces of an OBJ file; name stands in front of
// problems, so it is best the file's.
//
//	# a wedge                          comments
//	v 0 0 0                            a point, x y z; more numbers are left out
//	f 1 2 3                            a face of three or more points, from 1 in file order
//	f -3/1/1 -2/2/1 -1/3/1             or from the last point backwards; behind the first / is left out
//
// Faces run counterclockwise as seen from outside. One of more than three points
// becomes a fan about its first, so it has to be convex. Triangles without area
// are left out, and so are lines that begin with another word.
//
// The error is table.Problems, unless reading itself failed.
func ReadOBJ(r io.Reader, name string) (*Mesh, error) {
	o := objReader{file: name, mesh: &Mesh{}}
	text, err := table.ReadText(r)
	switch {
	case errors.Is(err, table.ErrTooLarge):
		o.problem(table.Field{}, "the file", err.Error(), "write fewer faces, and no normals or texture points")
		return nil, o.problems
	case err != nil:
		return nil, fmt.Errorf("read mesh %q: %w", name, err)
	}
	o.read(text)
	o.resolve()
	if len(o.problems) > 0 {
		return nil, o.problems
	}
	return o.mesh, nil
}

// objReader holds what is known while a file is read.
type objReader struct {
	file     string
	mesh     *Mesh
	corners  []corner // of all faces
	faces    []int    // the first corner of each
	full     bool     // there are too many triangles or points
	problems table.Problems
}

// corner is a point that a face names: its index from 0, and where.
type corner struct {
	point int
	at    table.Field
}

func (o *objReader) problem(at table.Field, what, why, mend string) {
	o.problems.Add(o.file, at, what, why, mend)
}

func (o *objReader) read(text string) {
	triangles := 0
	for number, line := range table.Lines(text) {
		if o.full || o.problems.Full() {
			return
		}
		line, _, _ = strings.Cut(line, "#")
		fields := table.Split(strings.ReplaceAll(line, "\t", " "), " ", number)
		if len(fields) == 0 {
			continue
		}
		switch fields[0].Text {
		case "v":
			o.point(fields)
			if len(o.mesh.Points) > MostPoints {
				o.tooMany(fields[0], MostPoints, "points")
			}
		case "f":
			o.face(fields)
			if triangles += max(0, len(fields)-3); triangles > MostTriangles {
				o.tooMany(fields[0], MostTriangles, "triangles")
			}
		}
	}
}

func (o *objReader) tooMany(at table.Field, most int, what string) {
	o.full = true
	o.problem(at, fmt.Sprintf("the file has more than %d %s", most, what),
		"light would be computed for each of them", "make the mesh coarser; what is small does not show")
}

func (o *objReader) point(fields []table.Field) {
	var v [3]float64
	if len(fields) < 4 {
		o.problem(fields[0], fmt.Sprintf("a point has %d numbers", len(fields)-1), "it needs x, y and z", "write it like v 0 1.5 2")
	}
	for i := range v {
		if i+1 >= len(fields) {
			break
		}
		f := fields[i+1]
		n, ok := table.Number(f.Text)
		switch {
		case !ok:
			o.problem(f, fmt.Sprintf("%q is no number", short(f.Text)), "coordinates are plain decimal numbers", "write it like 1.5")
		case n < -mostCoordinate || n > mostCoordinate:
			o.problem(f, fmt.Sprintf("%s is too far away", short(f.Text)), fmt.Sprintf("coordinates are within %g", mostCoordinate), "check the unit of the file")
		}
		v[i] = n
	}
	// Counted even when it is wrong, so that faces mean the points they name.
	o.mesh.Points = append(o.mesh.Points, solid.Vec{X: v[0], Y: v[1], Z: v[2]})
}

func (o *objReader) face(fields []table.Field) {
	if len(fields) < 4 {
		o.problem(fields[0], fmt.Sprintf("a face has %d points", len(fields)-1), "it needs three or more", "write it like f 1 2 3")
		return
	}
	o.faces = append(o.faces, len(o.corners))
	for _, f := range fields[1:] {
		text, _, _ := strings.Cut(f.Text, "/")
		n, err := strconv.Atoi(text)
		point := n - 1
		if n < 0 {
			point = len(o.mesh.Points) + n
		}
		switch {
		case err != nil:
			o.problem(f, fmt.Sprintf("%q is no point of a face", short(f.Text)), "points are named by whole numbers", "write it like 7, 7/1 or 7//3")
			point = -1
		case n == 0:
			o.problem(f, "a face names point 0", "points count from 1, or from -1 backwards", "write 1 for the first")
		case point < 0:
			o.problem(f, fmt.Sprintf("a face names point %d", n), fmt.Sprintf("only %d stand before it", len(o.mesh.Points)), "name one that is there")
		}
		o.corners = append(o.corners, corner{point, f})
	}
}

// resolve makes triangles of the faces. A face may name points that stand behind
// it.
func (o *objReader) resolve() {
	for _, c := range o.corners {
		if c.point >= len(o.mesh.Points) && !o.full {
			o.problem(c.at, fmt.Sprintf("a face names point %d", c.point+1), fmt.Sprintf("the file has %d", len(o.mesh.Points)), "name one that is there")
		}
	}
	if len(o.problems) > 0 {
		return
	}
	for i, first := range o.faces {
		last := len(o.corners)
		if i+1 < len(o.faces) {
			last = o.faces[i+1]
		}
		o.fan(o.corners[first:last])
	}
	if len(o.mesh.Triangles) == 0 {
		o.problem(table.Field{}, "the file has no face with an area", "nothing of it would be seen", "export it with faces, as plain OBJ")
	}
}

func (o *objReader) fan(corners []corner) {
	p := o.mesh.Points
	for i := 1; i+1 < len(corners); i++ {
		t := [3]int{corners[0].point, corners[i].point, corners[i+1].point}
		if area(p[t[0]], p[t[1]], p[t[2]]) > 0 {
			o.mesh.Triangles = append(o.mesh.Triangles, t)
		}
	}
}

// short keeps a quoted text from filling the screen.
func short(text string) string {
	const most = 30
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}
