package main

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues"
	"linkboy/cues/photo"
	"linkboy/cues/play"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/edit"
	"linkboy/cues/take"
)

// speakers are the packages that tell people at the page something. What is wrong with a line
// of a show file is said in English (cues/showfile), as such files are written in English
// words; so is what a system or a library says when something fails.
var speakers = []tellingIn{
	// A share that is out of range is a program's doing.
	{dir: "cues/session", without: []string{"checkShare"}, words: []string{"checkTexts"}},
	{dir: "cues/metering"},
	{dir: "cues/compile"},
	// A show that was loaded has every shape.
	{dir: "cues/stage", without: []string{"NewSet"}},
	{dir: "cues/rigcheck", prints: []string{"personality"}},
	{dir: "cues/impact", gives: []string{"String"}},
	// The page sends edits of the right form.
	{
		dir: "cues/showfile/edit", without: []string{"decode.go"}, gives: []string{"Error", "String"},
		prints: []string{"rebase", "match", "forth", "readHistory", "parseHistory"}, words: []string{"What", "step"},
	},
	{dir: "cues"},
	{dir: "artnet", words: []string{"Words", "StatusWords", "reportTroubles"}},
	{dir: "artnet/survey"},
	{dir: "cmd/linkboy"},
	{dir: "server", words: []string{"roleNames"}, without: []string{
		// The form of requests, which the page has right; pairing has a page of its own, and
		// OSC is answered to programs.
		"body.go", "fields.go", "message.go", "badValue", "missing", "parseCells", "verbNamed", "live", "readMessage",
		"guard.go", "routes.go", "static.go", "pairing.go", "pairpage.go", "osc_door.go", "osc_methods.go",
	}},
}

// toldElsewhere is what sentences are made of that sources do not show.
func toldElsewhere() []told {
	var list []told
	_, noDay := take.ParseDay(part, nil)
	for _, text := range []string{
		take.ErrUnknown.Error() + ": " + part, take.ErrUnknown.Error() + ": photo " + part + " of take " + part,
		take.ErrDoubled.Error() + ": " + part + " is take " + part, noDay.Error(),
		take.ErrFull.Error(), take.ErrPhotos.Error(), take.ErrNotReady.Error(), (&take.TooManyError{}).Error(),
		photo.ErrForm.Error(), photo.ErrLarge.Error() + ": " + part, photo.ErrBroken.Error() + ": " + part,
		cues.ErrFewTaps.Error(), cues.ErrUnevenTaps.Error(), play.ErrStopped.Error(), play.ErrBusy.Error(),
		// what is put together piece by piece
		"there is no cue " + part, "it may be " + part + ", " + part + " more",
		part + " is measured under " + part + ", which is measured under " + part,
	} {
		list = append(list, told{Text: text, At: "an error"})
	}
	for _, address := range []string{"7", "777:0:0.001", "0:77:0.001", "0:0:77.001", "0:0:0.777"} {
		_, p := showfile.ParseAddress(address)
		list = append(list, told{Text: p.What, At: "an address"}, told{Text: p.Why, At: "an address"}, told{Text: p.Mend, At: "an address"})
	}
	for _, what := range []edit.What{
		edit.TheLocation, edit.Look, edit.Paint, edit.Character, edit.Colour, edit.Cue, edit.Group, edit.Lamp, edit.Mark, edit.StandIn, edit.Setup,
		edit.Trim, edit.Piece, edit.Output, edit.Kit,
	} {
		change := edit.Edit{Do: edit.Change, What: what, Location: part, Name: part, Of: part}
		list = append(list, told{Text: change.String() + ": " + part + " (" + part + ":" + part + ")", At: "an edit"},
			told{Text: string(what) + " " + part, Word: true, At: "an edit"})
	}
	return list
}

// allTold is everything that people are told, with a number for each part, once.
func allTold(t *testing.T) []told {
	list := toldElsewhere()
	for _, from := range speakers {
		found := readSources(t, filepath.Join("..", "..", from.dir)).tells(from)
		require.NotEmpty(t, found, from.dir)
		list = append(list, found...)
	}
	list = slices.DeleteFunc(list, func(s told) bool { return strings.Trim(s.Text, part+" :;,.()?=") == "" })
	for i := range list {
		list[i].Text = strings.ReplaceAll(list[i].Text, part, "7")
	}
	slices.SortFunc(list, func(a, b told) int { return strings.Compare(a.key(), b.key()) })
	return slices.CompactFunc(list, func(a, b told) bool { return a.key() == b.key() })
}

// inGerman has the page's own module look sentences up, in a catalogue whose German is the
// number of the entry and the parts.
const inGerman = `
import { de } from './ui/de.js';
import { translated, translatedWord } from './ui/said-by-daemon.js';
import { readFileSync } from 'node:fs';
const numbered = (list, kind) => list.map(([english, own], i) => [english, '<' + kind + i + '>' + own.match(/\{\d+[*!]?\}|$/g).join('')]);
const { quotes, sentences, words } = de.daemon;
const catalogue = { quotes, sentences: numbered(sentences, 's'), words: numbered(words, 'w') };
const used = new Set();
const missing = JSON.parse(readFileSync(0, 'utf8')).filter(({ text, word }) => {
  const got = word ? translatedWord(text, catalogue) : translated(text, catalogue).text;
  for (const n of got.match(/<[sw]\d+>/g) ?? []) used.add(n);
  return /[a-z]/i.test(got.replace(/<[sw]\d+>/g, '')); // something is still as it came
});
const idle = (list, kind) => list.filter((_, i) => !used.has('<' + kind + i + '>')).map(([english]) => english);
console.log(JSON.stringify({ missing: missing.map((m) => m.at + ': ' + m.text), idle: [...idle(sentences, 's'), ...idle(words, 'w')] }));
`

// Whatever the daemon tells a person at the page, the page can say in German; and nothing is in
// its list that nobody says.
func TestEverySentenceOfTheDaemonHasItsGerman(t *testing.T) {
	list := allTold(t)
	require.Greater(t, len(list), 500)
	ask, err := json.Marshal(list)
	require.NoError(t, err)
	node := exec.CommandContext(t.Context(), outside.Tool(t, "node"), "--input-type=module", "-e", inGerman)
	node.Dir, node.Stdin = filepath.Join("..", ".."), bytes.NewReader(ask)
	out, err := node.Output()
	if exit, ok := err.(*exec.ExitError); ok {
		t.Fatalf("%s", exit.Stderr)
	}
	require.NoError(t, err)
	var got struct{ Missing, Idle []string }
	require.NoError(t, json.Unmarshal(out, &got))
	require.Empty(t, got.Missing, "give these their German in ui/de.js, under DAEMON (7 stands for what varies)")
	require.Empty(t, got.Idle, "nothing says these any more: take them out of DAEMON in ui/de.js")
}

// A sentence that is put together in any of these ways is found.
func TestSentencesAreReadFromSources(t *testing.T) {
	s := parseSources(t, map[string]string{"a.go": `package a
const mend = "mend it"
type Warning struct{ Message, Why, Mend string }
type Refusal struct{ Message, Mend string }
func refuse(message, how string) *Refusal { return &Refusal{Message: message, Mend: how} }
func near(word string) string {
	if word == "" { return "" }
	return fmt.Sprintf("; the nearest is %q", word)
}
func b(n int, word string, err error) {
	_ = refuse(fmt.Sprintf("there is no %q at %d %%%s", word, n, near(word)), mend)
	why := "it is late"
	if n > 1 { why = "it is " + word }
	_ = []Warning{{Message: "no light: " + err.Error(), Why: why}}
}
func form() { _ = refuse("wrong form", "right form") }`})
	var texts []string
	for _, x := range s.tells(tellingIn{without: []string{"form"}}) {
		texts = append(texts, x.Text)
	}
	require.ElementsMatch(t, []string{
		`there is no "{}" at {} %`, `there is no "{}" at {} %; the nearest is "{}"`, "mend it", "no light: {}", "it is late", "it is {}",
	}, texts)
}
