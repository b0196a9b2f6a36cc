package edit

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"linkboy/cues"
)

// Edit is one change of a show. It says what changes in the model's words, and
// values as the small texts of show files. See the package for what each part
// of a show takes.
type Edit struct {
	Do   Do   `json:"do"`
	What What `json:"what"`
	// Location is the name of the place in whose file the part stands; "" for
	// show.yaml. A rename of a group or a mark without one is of every location.
	Location string `json:"location,omitempty"`
	// Of names what the part belongs to: the look of paint, the character of a
	// colour, the set-up of a trim.
	Of string `json:"of,omitempty"`
	// Name names the part; what stands in a list has a Number instead, from 1.
	Name   string `json:"name,omitempty"`
	Number int    `json:"number,omitempty"`
	// To is the new name of a rename, or the location that a look is carried to.
	To string `json:"to,omitempty"`
	// Place is where a part that is added or moved comes to stand, from 1; 0 is
	// the end.
	Place int `json:"place,omitempty"`
	// Fields are values by key, as in show files. "" takes a key out.
	Fields map[string]string `json:"fields,omitempty"`
}

// Do says what is done.
type Do string

// What can be done.
const (
	Add    Do = "add"
	Change Do = "change"
	Remove Do = "remove"
	Move   Do = "move"
	Rename Do = "rename"
	Carry  Do = "carry" // a look to another location
)

// What names a kind of part.
type What string

// The parts of a show.
const (
	TheShow     What = "show"     // title and timeline
	TheLocation What = "location" // its title, or its file
	Look        What = "look"
	Paint       What = "paint" // of a look
	Character   What = "character"
	Colour      What = "colour" // of a character
	Cue         What = "cue"
	Group       What = "group"
	Lamp        What = "lamp" // a place in the rig
	Mark        What = "mark"
	StandIn     What = "stand-in"
	Setup       What = "set-up"
	Trim        What = "trim" // of a set-up, by the name of a group
	Tempo       What = "tempo"
	Camera      What = "camera" // of the show
	Safety      What = "safety" // what is said of it beside the two lights
	FloorLight  What = "floor-light"
	WorkLight   What = "work-light"
	Piece       What = "piece"  // of the set
	Output      What = "output" // a way of universes to the lamps
	Kit         What = "kit"    // a lamp that is owned, or several by T1..T12
)

// String says the edit in words.
func (e Edit) String() string {
	what := e.subject()
	switch e.Do {
	case Add:
		return "add " + what + e.fields(": ")
	case Remove:
		return "take out " + what
	case Rename:
		return fmt.Sprintf("rename %s to %q", what, e.To)
	case Carry:
		return fmt.Sprintf("carry %s to %s", what, e.To)
	case Move:
		if e.Place == 0 {
			return fmt.Sprintf("move %s to the end", what)
		}
		return fmt.Sprintf("move %s to place %d", what, e.Place)
	}
	return "change " + what + e.fields(": ")
}

// subject names the part that is edited.
func (e Edit) subject() string {
	text := string(e.What)
	if e.Name != "" {
		text += fmt.Sprintf(" %q", e.Name)
	}
	if e.Number > 0 {
		text += fmt.Sprintf(" %d", e.Number)
	}
	if p, known := parts[e.What]; known && p.owner != "" {
		text += fmt.Sprintf(" of %s %q", p.owner, e.Of)
	}
	if e.Location != "" {
		text += " at " + e.Location
	}
	return text
}

// fields lists the values in the order of their keys.
func (e Edit) fields(before string) string {
	keys := slices.Sorted(maps.Keys(e.Fields))
	if p, known := parts[e.What]; known {
		keys = p.sorted(e.Fields)
	}
	var texts []string
	for _, key := range keys {
		if e.Fields[key] == "" {
			texts = append(texts, "no "+key)
		} else {
			texts = append(texts, key+" "+shorten(e.Fields[key]))
		}
	}
	if len(texts) == 0 {
		return ""
	}
	return before + strings.Join(texts, ", ")
}

// shorten keeps a long text from filling a list of edits.
func shorten(text string) string {
	const most = 60
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}

// bad makes the problem of an edit that makes no sense.
func bad(what, why, mend string) *cues.Problem {
	return cues.NewProblem(cues.Pos{}, cues.CodeBadEdit, what, why, mend)
}
