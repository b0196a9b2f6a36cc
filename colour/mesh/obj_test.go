package mesh_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/mesh"
	"linkboy/colour/solid"
	"linkboy/colour/table"
)

func read(t testing.TB, text string) *mesh.Mesh {
	m, err := mesh.ReadOBJ(strings.NewReader(text), "t.obj")
	require.NoError(t, err)
	return m
}

// cube is a cube of side 2 in the forms that programs write: faces of four,
// normals and texture points, indices backwards, groups and materials.
const cube = `# a cube
mtllib t.mtl
o cube
v -1 -1 -1
v 1 -1 -1 1.0
v 1 1 -1 0.5 0.5 0.5
v -1 1 -1
vt 0 0
vn 0 0 1
usemtl grey
s off
f 4 3 2 1	# down
v -1 -1 1
v 1 -1 1
v 1 1 1e0
v -1 1 +1.
f -4 -3 -2 -1
f 1/1 2/1/1 6//1 5
f 2 3 7 6
g side
f 3 4 8 7
f 4 1 5 8
`

func TestReadOBJ(t *testing.T) {
	m := read(t, cube)
	require.Len(t, m.Points, 8)
	require.Len(t, m.Triangles, 12, "a fan of two for each face")
	require.Equal(t, [3]int{3, 2, 1}, m.Triangles[0])
	require.Equal(t, [3]int{4, 6, 7}, m.Triangles[3])
	require.InDelta(t, 24, m.Area(), 1e-12)
	require.InDelta(t, 8, m.Volume(), 1e-12)
	require.True(t, m.Closed())
	low, high := m.Bounds()
	require.Equal(t, solid.Vec{X: -1, Y: -1, Z: -1}, low)
	require.Equal(t, solid.Vec{X: 1, Y: 1, Z: 1}, high)
	require.Equal(t, m, read(t, "\ufeff"+strings.ReplaceAll(cube, "\n", "\r\n")))
}

// Regular solids of edge 1 have the volumes and areas of elementary geometry: the
// icosahedron 5(3+√5)/12 and 5√3, the octahedron √2/3 and 2√3 (I. Bronshtein and
// K. Semendyayev, Handbook of Mathematics, regular polyhedra).
func TestRegularSolids(t *testing.T) {
	for _, c := range []struct {
		name         string
		text         string
		edge         float64
		volume, area float64
	}{
		{"icosahedron", icosahedron(), 2, 5 * (3 + math.Sqrt(5)) / 12, 5 * math.Sqrt(3)},
		{"octahedron", "v 1 0 0\nv -1 0 0\nv 0 1 0\nv 0 -1 0\nv 0 0 1\nv 0 0 -1\nf 1 3 5\nf 3 2 5\nf 2 4 5\nf 4 1 5\nf 3 1 6\nf 2 3 6\nf 4 2 6\nf 1 4 6\n",
			math.Sqrt2, math.Sqrt2 / 3, 2 * math.Sqrt(3)},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := read(t, c.text)
			require.True(t, m.Closed())
			require.InEpsilon(t, c.volume, m.Volume()/math.Pow(c.edge, 3), 1e-12)
			require.InEpsilon(t, c.area, m.Area()/math.Pow(c.edge, 2), 1e-12)
		})
	}
}

// icosahedron has its corners at the cyclic permutations of (0, ±1, ±φ).
func icosahedron() string {
	phi := (1 + math.Sqrt(5)) / 2
	var points []solid.Vec
	for _, a := range []float64{-1, 1} {
		for _, b := range []float64{-phi, phi} {
			points = append(points, solid.Vec{Y: a, Z: b}, solid.Vec{X: a, Y: b}, solid.Vec{X: b, Z: a})
		}
	}
	var b strings.Builder
	for _, p := range points {
		fmt.Fprintf(&b, "v %v %v %v\n", p.X, p.Y, p.Z)
	}
	near := func(i, j int) bool { return math.Abs(points[i].Sub(points[j]).Length()-2) < 1e-9 }
	for i := range points {
		for j := range i {
			for k := range j {
				if !near(i, j) || !near(j, k) || !near(i, k) {
					continue
				}
				p, q, r := points[i], points[j], points[k]
				if q.Sub(p).Cross(r.Sub(p)).Dot(p) > 0 {
					fmt.Fprintf(&b, "f %d %d %d\n", i+1, j+1, k+1)
				} else {
					fmt.Fprintf(&b, "f %d %d %d\n", i+1, k+1, j+1)
				}
			}
		}
	}
	return b.String()
}

func TestClosed(t *testing.T) {
	faces := strings.Split(strings.TrimSpace(cube), "\n")
	for name, c := range map[string]struct {
		text   string
		closed bool
	}{
		"a cube":                          {cube, true},
		"without a side":                  {strings.Join(faces[:len(faces)-1], "\n"), false},
		"with a side turned":              {strings.Replace(cube, "f 2 3 7 6", "f 6 7 3 2", 1), false},
		"with a side twice":               {cube + "f 2 3 7 6\n", false},
		"with a point that no face names": {cube + "v 5 5 5\n", true},
		"with another point for one side": {strings.Replace(cube, "f 4 1 5 8", "v -1 1 1\nf 4 1 5 9", 1), true},
		"a card":                          {"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3", false},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.closed, read(t, c.text).Closed()) })
	}
}

func TestReadOBJRefuses(t *testing.T) {
	points := "v 0 0 0\nv 1 0 0\nv 0 1 0\n"
	for name, c := range map[string]struct{ text, says string }{
		"nothing":              {"", "t.obj:1:1: the file has no face with an area"},
		"points alone":         {points, "t.obj:1:1: the file has no face with an area"},
		"a line for a face":    {points + "v 2 0 0\nf 1 2 4", "no face with an area"},
		"a point of a plane":   {"v 0 0\n" + points + "f 2 3 4", "t.obj:1:1: a point has 2 numbers: it needs x, y and z"},
		"a word for a number":  {"v 0  none 0\nv 1 0 0\nv 0 1 0\nf 1 2 3", `t.obj:1:6: "none" is no number`},
		"no number":            {"v NaN 0x1 Inf\nv 1 0 0\nv 0 1 0\nf 1 2 3", `t.obj:1:7: "0x1" is no number`},
		"too large a number":   {"v 1e400 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3", `t.obj:1:3: "1e400" is no number`},
		"too far away":         {"v 0 0 0\nv 2e6 0 0\nv 0 1 0\nf 1 2 3", "t.obj:2:3: 2e6 is too far away"},
		"a face of two":        {points + "f 1 2", "t.obj:4:1: a face has 2 points"},
		"a face of a word":     {points + "f 1 2 c/1", `t.obj:4:7: "c/1" is no point of a face`},
		"point 0":              {points + "f 0 1 2", "t.obj:4:3: a face names point 0"},
		"point 4 of 3":         {points + "\n# c\nf 1 2\t 4/4/4", "t.obj:6:8: a face names point 4: the file has 3"},
		"point -4 of 3":        {points + "f -1 -2 -4", "t.obj:4:9: a face names point -4: only 3 stand before it"},
		"a line that goes on":  {points + "f 1 2 \\\n3", `t.obj:4:7: "\\" is no point of a face`},
		"too many triangles":   {points + strings.Repeat("f 1 2 3\n", mesh.MostTriangles+1), "t.obj:5004:1: the file has more than 5000 triangles"},
		"a face of too many":   {points + "f" + strings.Repeat(" 1", mesh.MostTriangles+3), "t.obj:4:1: the file has more than 5000 triangles"},
		"too many points":      {strings.Repeat("v 1 1 1\n", mesh.MostPoints+1), "the file has more than 20000 points"},
		"larger than all that": {strings.Repeat("# x\n", 1<<19), "t.obj:1:1: the file: it is larger than 1 MiB"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := mesh.ReadOBJ(strings.NewReader(c.text), "t.obj")
			require.ErrorContains(t, err, c.says)
			var found table.Problems
			require.True(t, errors.As(err, &found))
			for _, p := range found {
				require.NotEmpty(t, p.Why)
				require.NotEmpty(t, p.Mend)
			}
		})
	}
	_, err := mesh.ReadOBJ(iotest.ErrReader(errors.New("gone")), "t.obj")
	require.ErrorContains(t, err, `read mesh "t.obj": gone`)
}

// A face may name points that stand behind it.
func TestFaceBeforeItsPoints(t *testing.T) {
	require.Len(t, read(t, "f 1 2 3\nv 0 0 0\nv 1 0 0\nv 0 1 0").Triangles, 1)
}

// appendOBJ writes m as ReadOBJ reads it.
func appendOBJ(b []byte, m *mesh.Mesh) []byte {
	for _, p := range m.Points {
		b = fmt.Appendf(b, "v %v %v %v\n", p.X, p.Y, p.Z)
	}
	for _, t := range m.Triangles {
		b = fmt.Appendf(b, "f %d %d %d\n", t[0]+1, t[1]+1, t[2]+1)
	}
	return b
}

// FuzzReadOBJ: what is read comes out of its own writing the same and is fit to
// be lit; what is refused has a place that exists.
func FuzzReadOBJ(f *testing.F) {
	f.Add(cube)
	f.Add(icosahedron())
	f.Add("f 1 2 3\nv 0 0 0\nv 1 0 0\nv 0 1 0")
	f.Add("v 1e-200 0 0\nv 1 \"0\" 0\nv\t0 1 0 9\nf -1 -2 -3 -3\nf 1/ /2 3")
	f.Add("v 0 0 0\nf 1 1 1\nf 0 5\nvn é\n")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := mesh.ReadOBJ(strings.NewReader(text), "t.obj")
		if err != nil {
			var found table.Problems
			require.True(t, errors.As(err, &found), "%v", err)
			require.NotEmpty(t, found)
			lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
			for _, p := range found {
				require.LessOrEqual(t, p.Line, len(lines))
				require.LessOrEqual(t, p.Column, len([]rune(lines[p.Line-1]))+1, "%q", text)
			}
			return
		}
		require.Greater(t, m.Area(), 0.0)
		require.False(t, math.IsNaN(m.Volume()))
		m.Closed()
		for i := range m.Triangles {
			a, b, c := m.Corners(i)
			_, err := solid.NewTriangle(a, b.Sub(a), c.Sub(a))
			require.NoError(t, err)
		}
		again, err := mesh.ReadOBJ(strings.NewReader(string(appendOBJ(nil, m))), "t.obj")
		require.NoError(t, err)
		require.Equal(t, m, again)
	})
}
