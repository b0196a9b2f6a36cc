package ui

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
)

// Sum names files by their names and by what is in them, for what is kept for good under
// that name.
func Sum(files map[string][]byte) string {
	sum := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(sum, "%s\x00%d\x00%s", name, len(files[name]), files[name])
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
