package server

import (
	"fmt"
	"net"
	"slices"
	"strings"

	"linkboy/cues/session"
)

// Who asks.
const (
	sourcePage = "page"
	sourceHTTP = "http"
	sourceOSC  = "osc"
)

// ownSources are what a page may say itself of where a verb comes from: a finger, a
// key of a clicker, music that it plays.
var ownSources = []string{sourcePage, "key", "music"}

// by is the trigger of whoever asks from an address.
func by(source, address string) session.Trigger {
	if host, _, err := net.SplitHostPort(address); err == nil {
		address = host
	}
	return session.Trigger{Source: source, From: address}
}

// source reads the field "by", with which a page tells what made it ask.
func (f *fields) source(usual string) string {
	if _, said := f.values["by"]; !said {
		return usual
	}
	word := f.text("by", "key")
	switch {
	case word == "":
		return usual
	case !slices.Contains(ownSources, word):
		f.fail(badValue("by", fmt.Sprintf("%q", word), strings.Join(ownSources, ", "), "leave it out"))
	}
	return word
}

// command says in a few words what a request asks, as the state tells it: the verb with
// the values of its fields.
func (f *fields) command(name string) string {
	words := []string{name}
	for _, field := range f.names {
		switch field {
		case "by", "id", "verb", "taps":
			continue
		}
		words = append(words, strings.Trim(shown(f.values[field]), `"`))
	}
	return strings.Join(words, " ")
}

// bounces tells whether the request is one that a switch could make twice by
// bouncing, and that would then do something else than once.
func (f *fields) bounces(name string) bool {
	has := func(field string) bool { _, ok := f.values[field]; return ok }
	switch name {
	case "cue":
		return !has("at")
	case "back", "snap":
		return true
	case "worklight":
		return !has("on")
	}
	return false
}
