package edit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"linkboy/cues"
)

// maxEdit is how many bytes the JSON form of an edit can have.
const maxEdit = 1 << 18

// maxNumber bounds numbers and places: no list of a show is that long.
const maxNumber = 1 << 20

// DecodeEdit reads the JSON form of an edit and checks what can be checked
// without a show: the part, what can be done to it, and its keys.
func DecodeEdit(data []byte) (Edit, *cues.Problem) {
	var e Edit
	if len(data) > maxEdit {
		return Edit{}, bad("the edit is too long", fmt.Sprintf("it has %d bytes; an edit can have %d", len(data), maxEdit), "make it in several edits")
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	err := dec.Decode(&e)
	if err == nil {
		if _, more := dec.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("something follows the edit")
		}
	}
	if err != nil {
		return Edit{}, bad("this is no edit", strings.TrimPrefix(err.Error(), "json: "),
			`write it like {"do": "change", "what": "paint", "of": "warden", "number": 1, "fields": {"level": "40%"}}`)
	}
	if p := e.Check(); p != nil {
		return Edit{}, p
	}
	return e, nil
}

// Check gives what is wrong with an edit whatever the show is, nil for nothing.
func (e Edit) Check() *cues.Problem {
	p, known := parts[e.What]
	switch {
	case !known:
		return bad(fmt.Sprintf("%q is no part of a show", shorten(string(e.What))), "known are "+listOf(parts), nearest(string(e.What), namesOf(parts)))
	case !slices.Contains(p.can, e.Do):
		return bad(fmt.Sprintf("%q is nothing to do to a %s", shorten(string(e.Do)), e.What), "it can be: "+joined(p.can), nearest(string(e.Do), texts(p.can)))
	case e.Number < 0 || e.Place < 0 || max(e.Number, e.Place) > maxNumber:
		return bad("a number is out of range", "numbers count from 1; place 0 is the end", "write a number from 1")
	case e.makesLocation() && e.Location != "":
		return bad("a new location stands at no other one", "name is its name, and from what it is begun from", "take location out")
	case e.Location != "" && !p.location:
		return bad(fmt.Sprintf("a %s belongs to no location", e.What), "it stands in "+cmp.Or(p.file, "show.yaml"), "take location out")
	case e.Do == Carry && e.Location == "":
		return bad("it is not said from where the look is carried", "a look of the show is at every location already", "add location")
	case e.Location == "" && !p.show && !e.makesLocation() && !(e.Do == Rename && everywhere(e.What)):
		return bad(fmt.Sprintf("it is not said where the %s is", e.What), "each location has its own", "add location")
	case p.owner != "" && e.Of == "":
		return bad(fmt.Sprintf("it is not said whose %s it is", e.What), fmt.Sprintf("it belongs to a %s", p.owner), "add of")
	case p.owner == "" && e.Of != "":
		return bad(fmt.Sprintf("a %s belongs to nothing else", e.What), "of is for parts of looks, characters and set-ups", "take of out")
	}
	if problem := e.checkNames(p); problem != nil {
		return problem
	}
	return e.checkFields(p)
}

// everywhere reports whether things of a kind go by one name in all locations.
func everywhere(w What) bool { return w == Group || w == Mark }

// makesLocation reports whether e adds a location: it is the one thing that there is one
// of in a file and that has a name all the same.
func (e Edit) makesLocation() bool { return e.What == TheLocation && e.Do == Add }

func (e Edit) checkNames(p part) *cues.Problem {
	byNumber := p.list && e.Do != Add
	nameless := (p.list || p.one) && !e.makesLocation()
	switch {
	case byNumber && e.Number == 0:
		return bad(fmt.Sprintf("it is not said which %s", e.What), "they have numbers, from 1", "add number")
	case !byNumber && e.Number != 0:
		return bad(fmt.Sprintf("number %d says nothing here", e.Number), "only what stands in a list has a number; place says where something new comes to stand", "take number out")
	case nameless && e.Name != "":
		return bad(fmt.Sprintf("a %s has no name", e.What), "nothing would be found by it", "take name out")
	case !nameless && e.Name == "":
		return bad(fmt.Sprintf("it is not said which %s", e.What), "they have names", "add name")
	case e.Do == Rename && e.To == "":
		return bad("the new name is missing", "a rename needs both names", "add to")
	case e.Do == Carry && e.To == "":
		return bad("it is not said where the look is carried to", "it is another location", "add to")
	case e.Do != Rename && e.Do != Carry && e.To != "":
		return bad(fmt.Sprintf("%q is no new name here", shorten(e.To)), "only a rename has one", "take to out")
	case e.makesLocation() && e.Place != 0:
		return bad("place says nothing here", "locations are in the order of their names", "take place out")
	case e.Place != 0 && e.Do != Add && e.Do != Move:
		return bad("place says nothing here", "only what is added or moved comes to stand somewhere", "take place out")
	}
	for _, text := range []string{e.Location, e.Of, e.Name, e.To} {
		if !utf8.ValidString(text) || strings.ContainsFunc(text, control) {
			return bad("a name has bytes that are no letters", "it could not be written into a file", "choose another name")
		}
	}
	return nil
}

func control(c rune) bool { return c < ' ' || c == 0x7f }

func (e Edit) checkFields(p part) *cues.Problem {
	takes := e.Do == Add || e.Do == Change
	switch {
	case !takes && len(e.Fields) > 0:
		return bad(fmt.Sprintf("to %s takes no fields", e.Do), "nothing else changes", "take fields out, or make two edits")
	case e.Do == Change && len(e.Fields) == 0:
		return bad("nothing is to change", "there are no fields", "add fields: "+strings.Join(p.keys(), ", "))
	}
	for key, text := range e.Fields {
		if known := p.takes(e.Do); e.What != Character && !slices.Contains(known, key) {
			return bad(fmt.Sprintf("a %s has no %q", e.What, shorten(key)), "known are "+strings.Join(known, ", "), nearest(key, known))
		}
		if !utf8.ValidString(text) || !utf8.ValidString(key) {
			return bad(fmt.Sprintf("%s has bytes that are no letters", key), "it could not be written into a file", "write it as UTF-8")
		}
		if text == "" && e.Do == Add {
			return bad(fmt.Sprintf("%q is empty", key), "a new entry has the keys that it has", "leave it out")
		}
	}
	return nil
}

func nearest(word string, known []string) string {
	if near := cues.Nearest(word, known); near != "" {
		return fmt.Sprintf("write %q", near)
	}
	return "use one of them"
}

func namesOf(m map[What]part) []string {
	var out []string
	for name := range m {
		out = append(out, string(name))
	}
	slices.Sort(out)
	return out
}

func listOf(m map[What]part) string { return strings.Join(namesOf(m), ", ") }

func texts(all []Do) []string {
	var out []string
	for _, do := range all {
		out = append(out, string(do))
	}
	return out
}

func joined(all []Do) string { return strings.Join(texts(all), ", ") }
