package cues

import (
	"strings"
	"unicode/utf8"
)

// longestGuess is the length in runes past which a word is no slip of the pen.
const longestGuess = 40

// Nearest gives the known word that was most likely meant by word, "" when
// nothing is close. Close is at most one slip in three letters (in two, for a
// word of two) and three slips in all; a slip is a letter added, dropped, changed, or two neighbours
// swapped. Capitals do not count; of equally near words the first wins.
func Nearest(word string, known []string) string {
	word = strings.ToLower(word)
	length := utf8.RuneCountInString(word)
	if length == 0 || length > longestGuess {
		return ""
	}
	best, least := "", min(3, (length+2)/3, length/2)+1
	for _, k := range known {
		if n := utf8.RuneCountInString(k); n > length+3 || n < length-3 {
			continue
		}
		if slips := slips(word, strings.ToLower(k)); slips < least {
			best, least = k, slips
		}
	}
	return best
}

// slips counts the fewest slips between a and b (optimal string alignment:
// Levenshtein's distance with swaps of neighbours).
func slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := [3][]int{make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)}
	before, last, now := rows[0], rows[1], rows[2]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		now[0] = i
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return last[len(y)]
}
