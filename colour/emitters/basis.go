package emitters

import "math"

// row is a linear measure of a mix: one number for each emitter.
type row [Max]float64

func (a *row) dot(b *row) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// without takes out of a what lies along the orthonormal rows, twice: once is not
// enough for an a that lies nearly in their span (W. Kahan in Parlett, The Symmetric
// Eigenvalue Problem, 1980, section 6-9: twice is).
func (a row) without(basis []row) row {
	for range 2 {
		for i := range basis {
			k := a.dot(&basis[i])
			for j := range a {
				a[j] -= k * basis[i][j]
			}
		}
	}
	return a
}

func (a row) unit(length float64) row {
	for i := range a {
		a[i] /= length
	}
	return a
}

// span returns an orthonormal basis of the rows, in their order. A row that is within
// slack of the ones before it, as a share of the longest row, adds nothing.
func span(rows []row, slack float64) []row {
	longest := 0.0
	for i := range rows {
		longest = max(longest, rows[i].dot(&rows[i]))
	}
	var basis []row
	for _, r := range rows {
		r = r.without(basis)
		if length := math.Sqrt(r.dot(&r)); length > slack*math.Sqrt(longest) {
			basis = append(basis, r.unit(length).without(basis))
		}
	}
	return basis
}

// complement returns an orthonormal basis of what in n dimensions is square to the
// orthonormal rows: the moves of the drives that those rows do not see.
func complement(basis []row, n int) []row {
	all := append([]row(nil), basis...)
	for len(all) < n {
		// Of the axes, the one least inside the span keeps the most digits.
		var best row
		most := -1.0
		for i := range n {
			var axis row
			axis[i] = 1
			rest := axis.without(all)
			if length := rest.dot(&rest); length > most {
				best, most = rest, length
			}
		}
		all = append(all, best.unit(math.Sqrt(most)).without(all))
	}
	return all[len(basis):]
}
