//go:build !race

package edit_test

// randomEdits is how many random edits are made.
const randomEdits = 10_000
