//go:build !race

package meter_test

// rigs is how many random rigs are solved.
const rigs = 1000
