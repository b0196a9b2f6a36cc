package server

import (
	"encoding/json"
	"fmt"

	"linkboy/cues/session"
)

// readTake reads {"do": "roll" | "cut" | "change", ...}.
func readTake(d Director, f *fields) func() error {
	r := session.TakeRequest{
		Do: f.needText("do", "roll"), Scene: f.textIfThere("scene", "12"), Slate: f.textIfThere("slate", "A"),
		Number: f.count("number"), Setup: f.text("setup", "wide"), Clip: f.textIfThere("clip", "A001C003"),
		Note: f.textIfThere("note", "soft"), Circled: f.flag("circled"),
	}
	if n := f.count("take"); n != nil {
		r.Take = int64(*n)
	}
	return func() error { return d.Take(r) }
}

// textIfThere reads a string; absent gives nil.
func (f *fields) textIfThere(name, example string) *string {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var s string
	if err := json.Unmarshal(value, &s); err != nil {
		f.fail(badValue(name, shown(value), "a text", fmt.Sprintf("write it in quotes, like %q", example)))
		return nil
	}
	return &s
}

// needCount reads a whole number that must be there.
func (f *fields) needCount(name string, example int) int64 {
	n := f.count(name)
	if n == nil {
		f.fail(missing(name, fmt.Sprintf("{%q: %d}", name, example)))
		return 0
	}
	return int64(*n)
}

// eventNumber reads which event of a take is meant; absent is 0, which is roll.
func (f *fields) eventNumber() int {
	if n := f.count("event"); n != nil {
		return *n
	}
	return 0
}
