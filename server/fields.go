package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode/utf8"
)

// fields is one JSON object being read field by field. The first thing wrong
// is kept, later reads do nothing; problem gives it at the end.
type fields struct {
	names  []string // in the order they came
	values map[string]json.RawMessage
	asked  []string // every field that somebody asked for
	first  *Problem
}

// parseFields reads text as exactly one JSON object (RFC 8259) without doubled
// names. Values are left as they came and alias text.
func parseFields(text []byte) (*fields, *Problem) {
	if !utf8.Valid(text) {
		return nil, badJSON("the text is not UTF-8", "")
	}
	var whole json.RawMessage
	if err := json.Unmarshal(text, &whole); err != nil {
		return nil, syntaxProblem(err)
	}
	dec := json.NewDecoder(bytes.NewReader(text))
	if open, err := dec.Token(); err != nil || open != json.Delim('{') {
		return nil, badJSON("the text is not a JSON object", "")
	}
	f := &fields{values: map[string]json.RawMessage{}}
	for dec.More() {
		token, err := dec.Token()
		name, isName := token.(string)
		if err != nil || !isName {
			return nil, badJSON("a field has no name", at(dec.InputOffset()))
		}
		if _, doubled := f.values[name]; doubled {
			return nil, &Problem{http.StatusBadRequest, codeDoubledField, fmt.Sprintf("field %q is there twice", name), name, "leave one of them out"}
		}
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return nil, badJSON(err.Error(), at(dec.InputOffset()))
		}
		f.names = append(f.names, name)
		f.values[name] = value
	}
	return f, nil
}

func at(offset int64) string { return fmt.Sprintf("byte %d", offset) }

func badJSON(why, where string) *Problem {
	return &Problem{http.StatusBadRequest, codeBadJSON, "the message cannot be read: " + why, where, `send one JSON object, like {"look": "NAME"}`}
}

func syntaxProblem(err error) *Problem {
	if syntax, ok := errors.AsType[*json.SyntaxError](err); ok {
		return badJSON(syntax.Error(), at(syntax.Offset))
	}
	return badJSON(err.Error(), "")
}

// take returns the value of a field and notes that it is known. A null is as
// good as nothing.
func (f *fields) take(name string) (json.RawMessage, bool) {
	f.asked = append(f.asked, name)
	value, ok := f.values[name]
	if !ok || f.first != nil || string(value) == "null" {
		return nil, false
	}
	return value, true
}

func (f *fields) fail(p *Problem) {
	if f.first == nil {
		f.first = p
	}
}

// text reads a string; absent gives "".
func (f *fields) text(name, example string) string {
	value, ok := f.take(name)
	if !ok {
		return ""
	}
	var s string
	if err := json.Unmarshal(value, &s); err != nil {
		f.fail(badValue(name, shown(value), "a text", fmt.Sprintf("write it in quotes, like %q", example)))
	}
	return s
}

// needText reads a string that must be there.
func (f *fields) needText(name, example string) string {
	s := f.text(name, example)
	if s == "" {
		f.fail(missing(name, fmt.Sprintf("{%q: %q}", name, example)))
	}
	return s
}

// flag reads true or false; absent gives nil.
func (f *fields) flag(name string) *bool {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var b bool
	if err := json.Unmarshal(value, &b); err != nil {
		f.fail(badValue(name, shown(value), "true or false", "write true or false without quotes"))
		return nil
	}
	return &b
}

// share reads a number from 0 to 1; absent gives nil.
func (f *fields) share(name string) *float64 {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var v float64
	if err := json.Unmarshal(value, &v); err != nil || !(v >= 0 && v <= 1) {
		f.fail(badValue(name, shown(value), "a number from 0 to 1", fmt.Sprintf("write it like {%q: 0.5}", name)))
		return nil
	}
	return &v
}

// number reads a number; absent gives nil.
func (f *fields) number(name string, example float64) *float64 {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var v float64
	if err := json.Unmarshal(value, &v); err != nil {
		f.fail(badValue(name, shown(value), "a number", fmt.Sprintf("write it like {%q: %g}", name, example)))
		return nil
	}
	return &v
}

// numbers reads a list of numbers; absent gives nil.
func (f *fields) numbers(name, example string) []float64 {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	list := []float64{}
	if err := json.Unmarshal(value, &list); err != nil {
		f.fail(badValue(name, shown(value), "a list of numbers", fmt.Sprintf("write it like {%q: %s}", name, example)))
		return nil
	}
	return list
}

// count reads a whole number of 1 or more; absent gives nil.
func (f *fields) count(name string) *int {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var n int
	if err := json.Unmarshal(value, &n); err != nil || n < 1 || n > math.MaxInt32 {
		f.fail(badValue(name, shown(value), "a whole number of 1 or more", fmt.Sprintf("write it like {%q: 1}", name)))
		return nil
	}
	return &n
}

// problem gives the first thing wrong, or the first field that nobody asked
// for. It is called once every known field has been read.
func (f *fields) problem() *Problem {
	for _, name := range f.names {
		if !slices.Contains(f.asked, name) {
			return &Problem{
				http.StatusBadRequest, codeUnknownField,
				fmt.Sprintf("there is no field %q here%s", name, hint(name, f.asked)), name, mendFields(name, f.asked),
			}
		}
	}
	return f.first
}

// onlyFields refuses a query that has other fields than these.
func onlyFields(q url.Values, known ...string) *Problem {
	for name := range q {
		if !slices.Contains(known, name) {
			return &Problem{http.StatusBadRequest, codeUnknownField, fmt.Sprintf("there is no field %q here", name), name, "use " + strings.Join(known, " and ")}
		}
	}
	return nil
}

func mendFields(name string, known []string) string {
	if len(known) == 0 {
		return "leave it out: this verb has no fields"
	}
	return mendWords(name, known)
}

func missing(name, example string) *Problem {
	return &Problem{http.StatusBadRequest, codeMissingField, fmt.Sprintf("field %q is missing", name), name, "send " + example}
}

// shown is a value fit for a message: short, and as it was written.
func shown(value json.RawMessage) string {
	const most = 40
	if len(value) <= most {
		return string(value)
	}
	cut := most
	for !utf8.RuneStart(value[cut]) {
		cut--
	}
	return string(value[:cut]) + "..."
}
