package colour

// mat3 is a 3 x 3 matrix in rows.
type mat3 [3][3]float64

func (m mat3) apply(v [3]float64) [3]float64 {
	var out [3]float64
	for i, row := range m {
		out[i] = row[0]*v[0] + row[1]*v[1] + row[2]*v[2]
	}
	return out
}

func (m mat3) mul(n mat3) mat3 {
	var out mat3
	for i := range 3 {
		for j := range 3 {
			out[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return out
}

// inverse returns the inverse of m by cofactors; m must not be singular.
func (m mat3) inverse() mat3 {
	cofactor := func(i, j int) float64 {
		i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[i1][j1]*m[i2][j2] - m[i1][j2]*m[i2][j1]
	}
	det := m[0][0]*cofactor(0, 0) + m[0][1]*cofactor(0, 1) + m[0][2]*cofactor(0, 2)
	var out mat3
	for i := range 3 {
		for j := range 3 {
			out[j][i] = cofactor(i, j) / det
		}
	}
	return out
}

func diagonal(d [3]float64) mat3 { return mat3{{d[0], 0, 0}, {0, d[1], 0}, {0, 0, d[2]}} }

func (c XYZ) vector() [3]float64 { return [3]float64{c.X, c.Y, c.Z} }
func xyzOf(v [3]float64) XYZ     { return XYZ{v[0], v[1], v[2]} }
