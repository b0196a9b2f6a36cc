//go:build race

package meter_test

// rigs is how many random rigs are solved: few where each takes some ten times as long.
const rigs = 20
