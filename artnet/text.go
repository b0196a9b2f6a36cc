package artnet

import (
	"bytes"
	"fmt"
	"strings"
)

// checkText refuses a text over its most bytes, the NUL not counted, or with a
// NUL inside.
func checkText(code OpCode, name, text string, most int) error {
	if len(text) > most || strings.IndexByte(text, 0) >= 0 {
		return fmt.Errorf("artnet: %v: %w: %s %q has %d bytes, need at most %d and no NUL", code, ErrText, name, text, len(text), most)
	}
	return nil
}

// appendText appends s and NULs up to most + 1 bytes.
func appendText(b []byte, s string, most int) []byte {
	return appendZeros(append(b, s...), most+1-len(s))
}

func appendZeros(b []byte, n int) []byte {
	return append(b, make([]byte, n)...) // grows b, makes nothing
}

// text ends at the first NUL, and before the last byte, which ought to be one.
func text(field []byte) string { return untilNUL(field[:len(field)-1]) }

func untilNUL(field []byte) string {
	if end := bytes.IndexByte(field, 0); end >= 0 {
		field = field[:end]
	}
	return string(field)
}
