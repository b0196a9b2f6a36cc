package showfile

import (
	"bytes"
	"fmt"
	"strings"

	"linkboy/cues"
)

// excerptWidth is how many characters of a long line an excerpt shows.
const excerptWidth = 100

// Excerpt shows the line of src at pos with a caret under the column, two
// lines ending in a line feed; "" when src has no such line.
//
//	12 |   - {on: egde, colour: lead}
//	   |          ^
func Excerpt(src []byte, pos cues.Pos) string {
	lines := bytes.Split(src, []byte("\n"))
	if pos.Line < 1 || pos.Line > len(lines) {
		return ""
	}
	line := []rune(strings.TrimRight(string(bytes.TrimPrefix(lines[pos.Line-1], []byte("\uFEFF"))), "\r"))
	at := min(max(pos.Column-1, 0), len(line))
	dots := ""
	if at > excerptWidth*3/4 {
		cut := at - excerptWidth/2
		line, at, dots = line[cut:], at-cut+3, "..."
	}
	if len(line) > excerptWidth {
		line = append(line[:excerptWidth:excerptWidth], []rune("...")...)
	}
	for i, c := range line {
		if c < ' ' || c == 0x7f { // a tab would shift the caret; control codes would reach the terminal
			line[i] = ' '
		}
	}
	number := fmt.Sprintf("%4d", pos.Line)
	return fmt.Sprintf("%s | %s%s\n%s | %s^\n", number, dots, string(line), strings.Repeat(" ", len(number)), strings.Repeat(" ", at))
}
