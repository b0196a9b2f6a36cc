package edit

import (
	"bytes"
	"fmt"
	"slices"
)

// hunk is a run of lines of a file that an edit puts in place of others. Line
// ends belong to their lines.
type hunk struct {
	At     int      `json:"at"` // lines before it, in the file before the edit
	Before []string `json:"before,omitempty"`
	After  []string `json:"after,omitempty"`
}

// grows is by how many lines the file is longer behind the hunk.
func (h hunk) grows() int { return len(h.After) - len(h.Before) }

func lines(text []byte) []string {
	var out []string
	for _, line := range bytes.SplitAfter(text, []byte("\n")) {
		if len(line) > 0 {
			out = append(out, string(line))
		}
	}
	return out
}

// mostCells bounds the work of a diff; texts that differ in more than that are
// one hunk.
const mostCells = 1 << 20

// diff gives the hunks that make one text of another, in order: what is between
// the lines of their longest common subsequence.
func diff(before, after []byte) []hunk {
	a, b := lines(before), lines(after)
	head := 0
	for head < min(len(a), len(b)) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < min(len(a), len(b))-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	x, y := a[head:len(a)-tail], b[head:len(b)-tail]
	if len(x) == 0 && len(y) == 0 {
		return nil
	}
	if len(x)*len(y) > mostCells {
		return []hunk{{head, x, y}}
	}
	same := common(x, y)
	var out []hunk
	for i, j := 0, 0; i < len(x) || j < len(y); {
		if i < len(x) && j < len(y) && x[i] == y[j] {
			i, j = i+1, j+1
			continue
		}
		from, to := i, j
		for (i < len(x) || j < len(y)) && !(i < len(x) && j < len(y) && x[i] == y[j]) {
			if j == len(y) || i < len(x) && same[i+1][j] >= same[i][j+1] {
				i++
			} else {
				j++
			}
		}
		out = append(out, hunk{head + from, x[from:i], y[to:j]})
	}
	return out
}

// common gives how many lines x from i and y from j have in common, in order.
func common(x, y []string) [][]int {
	same := make([][]int, len(x)+1)
	for i := range same {
		same[i] = make([]int, len(y)+1)
	}
	for i := len(x) - 1; i >= 0; i-- {
		for j := len(y) - 1; j >= 0; j-- {
			if x[i] == y[j] {
				same[i][j] = same[i+1][j+1] + 1
			} else {
				same[i][j] = max(same[i+1][j], same[i][j+1])
			}
		}
	}
	return same
}

// forth makes the changes of hunks in a text, which must have the lines that
// they change.
func forth(text []byte, hunks []hunk) ([]byte, error) {
	var out []byte
	all, at := lines(text), 0
	for _, h := range hunks {
		end := h.At + len(h.Before)
		if h.At < at || end > len(all) || !slices.Equal(all[h.At:end], h.Before) {
			return nil, fmt.Errorf("line %d is not what it was", h.At+1)
		}
		for _, line := range all[at:h.At] {
			out = append(out, line...)
		}
		for _, line := range h.After {
			out = append(out, line...)
		}
		at = end
	}
	for _, line := range all[min(at, len(all)):] {
		out = append(out, line...)
	}
	return out, nil
}

// back gives the hunks that undo hunks.
func back(hunks []hunk) []hunk {
	out := make([]hunk, len(hunks))
	moved := 0
	for i, h := range hunks {
		out[i] = hunk{h.At + moved, h.After, h.Before}
		moved += h.grows()
	}
	return out
}

// past carries the lines of an edit over a change by hand that was made after
// it: mine are the hunks of the edit, with places in the file before it, and
// theirs those of the change, with places in the file after the edit. It gives
// mine for a file that has had theirs from the start, and theirs for the file
// before the edit. ok is false where the two touch: the same lines, or lines
// side by side.
func past(mine, theirs []hunk) (ours, before []hunk, ok bool) {
	done := back(mine) // mine, by places in the file after the edit
	for i, h := range mine {
		at := done[i].At
		for _, t := range theirs {
			switch {
			case t.At+len(t.Before) < at:
				h.At += t.grows()
			case t.At <= at+len(h.After):
				return nil, nil, false
			}
		}
		ours = append(ours, h)
	}
	for _, t := range theirs {
		at := t.At
		for i, h := range mine {
			if done[i].At < at {
				t.At -= h.grows()
			}
		}
		before = append(before, t)
	}
	return ours, before, true
}
