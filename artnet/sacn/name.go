package sacn

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// MaxName is the most bytes of a source name, without its NUL.
const MaxName = 63

// Name is a source name as it travels: UTF-8 up to the first NUL, NULs after
// it. It is meant for people; the CID tells sources apart. ANSI E1.31 section
// 6.2.2.
type Name [MaxName + 1]byte

// NewName makes a name of a text. Errors wrap ErrName.
func NewName(text string) (Name, error) {
	var n Name
	if len(text) > MaxName || strings.IndexByte(text, 0) >= 0 || !utf8.ValidString(text) {
		return n, fmt.Errorf("sacn: %w: %q has %d bytes, need UTF-8 of at most %d and no NUL", ErrName, text, len(text), MaxName)
	}
	copy(n[:], text)
	return n, nil
}

// String is the text, with U+FFFD for what is not UTF-8.
func (n Name) String() string {
	text, _, _ := bytes.Cut(n[:], []byte{0})
	return strings.ToValidUTF8(string(text), "\ufffd")
}

// nameFrom copies a name and clears what follows its NUL. The last byte ought
// to be one.
func nameFrom(field []byte) Name {
	var n Name
	end := bytes.IndexByte(field[:MaxName], 0)
	if end < 0 {
		end = MaxName
	}
	copy(n[:], field[:end])
	return n
}
