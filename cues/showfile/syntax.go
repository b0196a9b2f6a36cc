package showfile

import (
	"bytes"
	"fmt"
	"regexp"
	"sort"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

var yamlLine = regexp.MustCompile(`^yaml: (?:line \d+: )?`)

// syntaxProblem turns an error of the YAML parser into a problem with the
// right place. The parser tells no column, and its line is that of the
// enclosing construct, off by one, or missing. But it reads from top to
// bottom: every prefix of the file that holds the fault fails with the same
// error, every shorter one with another or none. So the line where the parser
// stumbles is found by halving, and from there the bracket that was left open.
func syntaxProblem(file string, src []byte, err error) *cues.Problem {
	lines := bytes.SplitAfter(src, []byte("\n"))
	message := err.Error()
	stumble := sort.Search(len(lines), func(n int) bool {
		return parseError(bytes.Join(lines[:n+1], nil)) == message
	})
	stumble = min(stumble, len(lines)-1)
	for stumble > 0 && len(bytes.TrimSpace(lines[stumble])) == 0 {
		stumble--
	}
	why := strings.TrimPrefix(yamlLine.ReplaceAllString(message, ""), "yaml: ")
	at := cues.Pos{File: file, Line: stumble + 1, Column: indent(lines[stumble]) + 1}
	if open, ok := openBracket(lines, stumble); ok && flowError(why) {
		if open.Line == at.Line || indent(lines[open.Line-1]) >= indent(lines[stumble]) || stumble == len(lines)-1 {
			open.File = file
			return cues.NewProblem(open, cues.CodeYAMLSyntax, "a bracket opened here is not closed",
				fmt.Sprintf("line %d still belongs to it: %s", at.Line, why), "close it, or put the comma that is missing between two items")
		}
		return cues.NewProblem(at, cues.CodeYAMLSyntax, "a comma is missing before this line",
			fmt.Sprintf("the bracket of line %d is still open: %s", open.Line, why), "put a comma at the end of the line above, or close the bracket")
	}
	if tab := bytes.IndexByte(lines[stumble], '\t'); tab >= 0 && (strings.Contains(why, "cannot start any token") || strings.Contains(why, "tab")) {
		at.Column = utf8.RuneCount(lines[stumble][:tab]) + 1
		return cues.NewProblem(at, cues.CodeYAMLSyntax, "there is a tab in the indentation", why, "indent with spaces")
	}
	if second := secondColon(lines[stumble]); second > 0 && strings.Contains(why, "mapping values are not allowed") {
		at.Column = second
	}
	return cues.NewProblem(at, cues.CodeYAMLSyntax, "the file is not valid YAML here", why, mendSyntax(why))
}

// secondColon gives the column of the second colon with a space behind it, 0
// for none: after the first, a plain text cannot have another.
func secondColon(line []byte) int {
	first := bytes.Index(line, []byte(": "))
	if first < 0 {
		return 0
	}
	second := bytes.Index(line[first+2:], []byte(": "))
	if second < 0 {
		return 0
	}
	return utf8.RuneCount(line[:first+2+second]) + 1
}

func parseError(src []byte) string {
	var n yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(src))
	for range 2 { // a file may fail in what follows its first document
		if err := decoder.Decode(&n); err != nil {
			return err.Error()
		}
	}
	return ""
}

func flowError(why string) bool {
	return strings.Contains(why, "did not find expected ','") || strings.Contains(why, "did not find expected node content")
}

func mendSyntax(why string) string {
	switch {
	case strings.Contains(why, "mapping values are not allowed"):
		return "put quotes round a text that has a colon in it, or mend the indentation"
	case strings.Contains(why, "cannot start any token"):
		return "put quotes round a text that starts with this character (%, @ and ` are reserved)"
	case strings.Contains(why, "did not find expected key"), strings.Contains(why, "did not find expected '-' indicator"):
		return "line it up with the lines above: items of one map or list start in the same column"
	case strings.Contains(why, "could not find expected ':'"):
		return "put a colon and a space behind the key"
	case strings.Contains(why, "unexpected end of stream"), strings.Contains(why, "quoted scalar"):
		return "close the quotes that were opened"
	case strings.Contains(why, "anchor"):
		return "show files have no aliases: put quotes round a text that starts with * or &"
	}
	return "compare the line with those around it: colons, dashes, brackets, quotes, indentation"
}

func indent(line []byte) int {
	return len(line) - len(bytes.TrimLeft(line, " "))
}

// openBracket finds the innermost bracket that lines before and including
// line last leave open, reading quotes and comments as YAML does. A bracket of
// the other kind does not close it.
func openBracket(lines [][]byte, last int) (cues.Pos, bool) {
	type bracket struct {
		cues.Pos
		closer rune
	}
	closers := map[rune]rune{'[': ']', '{': '}'}
	var open []bracket
	var quote rune
	for i, line := range lines[:last+1] {
		column, before := 0, ' '
		for _, c := range string(line) {
			column++
			switch {
			case quote != 0:
				if c == quote {
					quote = 0
				}
			case c == '#' && before == ' ':
				before = '#'
			case before == '#':
				continue
			case (c == '"' || c == '\'') && strings.ContainsRune(" [{,", before):
				quote = c
			case c == '[' || c == '{':
				if len(open) > 0 || strings.ContainsRune(" -", before) {
					open = append(open, bracket{cues.Pos{Line: i + 1, Column: column}, closers[c]})
				}
			case len(open) > 0 && c == open[len(open)-1].closer:
				open = open[:len(open)-1]
			}
			if before != '#' {
				before = c
			}
		}
	}
	if len(open) == 0 {
		return cues.Pos{}, false
	}
	return open[len(open)-1].Pos, true
}
