package artnet

import (
	"strings"
	"unicode"
)

// Printable is a device's text without what could upset a terminal or a page.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}
