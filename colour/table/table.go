// Package table takes text tables of figures apart, as meters write them and
// people type them, and tells what is wrong with one by line and column. What
// the columns mean is for the readers: camera sensitivities in colour/camera,
// measured spectra in colour/calibrate.
package table

import (
	"errors"
	"io"
	"iter"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Bounds of every table. A table of 1 nm steps takes 10 to 20 kB, and past
// MostProblems a list of faults helps nobody.
const (
	MostBytes    = 1 << 20
	MostProblems = 20
)

// ErrTooLarge is a table of more than MostBytes.
var ErrTooLarge = errors.New("it is larger than 1 MiB")

// ReadText returns the text of a table without the mark that spreadsheets write
// at its start. The error is ErrTooLarge or the reader's.
func ReadText(r io.Reader) (string, error) {
	text, err := io.ReadAll(io.LimitReader(r, MostBytes+1))
	if err != nil {
		return "", err
	}
	if len(text) > MostBytes {
		return "", ErrTooLarge
	}
	return strings.TrimPrefix(string(text), "\ufeff"), nil
}

// Lines yields the lines of a table with their numbers, from 1, without their
// ends; blank lines and lines that begin with # are left out.
func Lines(text string) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		number := 0
		for line := range strings.Lines(text) {
			number++
			line = strings.TrimRight(line, "\r\n")
			if trimmed := strings.TrimSpace(line); trimmed == "" || trimmed[0] == '#' {
				continue
			}
			if !yield(number, line) {
				return
			}
		}
	}
}

// Field is the text of a field without blanks and quotes, and its place,
// counted from 1; the column counts characters.
type Field struct {
	Text         string
	Line, Column int
}

// Split takes a line apart at its separators. Blanks side by side, where
// separator is one, part no columns; a quoted nothing is a column.
func Split(line, separator string, number int) (fields []Field) {
	column := 1
	for part := range strings.SplitSeq(line, separator) {
		text := strings.TrimSpace(part)
		blanks := utf8.RuneCountInString(part) - utf8.RuneCountInString(strings.TrimLeft(part, " \t"))
		if len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"' {
			text = strings.TrimSpace(text[1 : len(text)-1])
		}
		if separator != " " || strings.TrimSpace(part) != "" {
			fields = append(fields, Field{text, number, column + blanks})
		}
		column += utf8.RuneCountInString(part + separator)
	}
	return fields
}

// BeginsNumber reports whether a row, not a head, begins like this.
func BeginsNumber(text string) bool {
	return text != "" && strings.ContainsRune("0123456789+-.", rune(text[0]))
}

// Number reads a plain decimal number such as 0.25 or 1e-3; no hexadecimal, no
// underscores, no infinity.
func Number(text string) (v float64, ok bool) {
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && strings.Trim(text, "0123456789+-.eE") == ""
}
