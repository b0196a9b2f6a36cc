package colour_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

func TestObserverIsTheStandardOne(t *testing.T) {
	table := colour.Observer1931()
	// ISO/CIE 11664-1:2019: V(λ) is 1 at 555 nm; x̄(600 nm) = 1.0622, z̄(445 nm) = 1.7826.
	require.Equal(t, 1.0, table[555-360][1])
	require.Equal(t, 1.0622, table[600-360][0])
	require.Equal(t, 1.7826, table[445-360][2])
	// ISO/CIE 11664-1:2019: the functions are scaled so that equal energy has
	// equal tristimulus values, which the 1 nm table meets to its rounding. Its
	// sums are 106.8655, 106.8569, 106.8923 (from memory).
	var sum [3]float64
	for _, cmf := range table {
		for k := range sum {
			sum[k] += cmf[k]
		}
	}
	require.InDeltaSlice(t, []float64{106.8655, 106.8569, 106.8923}, sum[:], 1e-4)
	e := colour.XYZ{X: sum[0], Y: sum[1], Z: sum[2]}.XY()
	require.InDelta(t, 1.0/3, e.X, 5e-5)
	require.InDelta(t, 1.0/3, e.Y, 5e-5)
}
