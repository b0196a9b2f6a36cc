//go:build race

package edit_test

// randomEdits is how many random edits are made: few where each takes some ten times as long.
const randomEdits = 300
