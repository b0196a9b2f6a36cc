package edit_test

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile/edit"
)

// examples are edits in JSON, one of each kind and some slips.
var examples = []string{
	`{"do":"change","what":"paint","of":"warden","number":1,"fields":{"level":"-1.5 stops under edge at a"}}`,
	`{"do":"change","what":"paint","of":"warden","number":2,"fields":{"colour":"{hue: 3, sat: 20%}"}}`,
	`{"do":"add","what":"look","name":"dawn","fields":{"wears":"tide","paint":"[{on: key, colour: lead, level: 3%}]","note":"she: #1"}}`,
	`{"do":"rename","what":"character","name":"warden","to":"keeper"}`,
	`{"do":"rename","what":"look","name":"warden","to":"keeper"}`,
	`{"do":"rename","what":"group","name":"edge","to":"rim"}`,
	`{"do":"rename","what":"mark","location":"deep-end","name":"a","to":"spot"}`,
	`{"do":"add","what":"cue","location":"deep-end","place":2,"fields":{"look":"tide","fade":"2 s"}}`,
	`{"do":"move","what":"cue","location":"deep-end","number":2,"place":4}`,
	`{"do":"remove","what":"cue","location":"deep-end","number":1}`,
	`{"do":"remove","what":"lamp","location":"deep-end","name":"lane-1"}`,
	`{"do":"rename","what":"lamp","location":"deep-end","name":"K1","to":"key-lamp"}`,
	`{"do":"add","what":"trim","location":"deep-end","of":"wide","name":"key","fields":{"stops":"-1 stops"}}`,
	`{"do":"change","what":"tempo","location":"deep-end","fields":{"bpm":"100"}}`,
	`{"do":"change","what":"group","location":"deep-end","name":"edge","fields":{"policy":"truest","lamps":"[lane-2]"}}`,
	`{"do":"remove","what":"floor-light"}`,
	`{"do":"add","what":"location","name":"new","fields":{"from":"deep-end","cues":"yes","addresses":"0:0:9.001"}}`,
	`{"do":"remove","what":"location","location":"pier"}`,
	`{"do":"carry","what":"look","location":"deep-end","name":"mist","to":"pier"}`,
	`{"do":"change","what":"colour","of":"tide","name":"lead","fields":{"colour":"{hue: 180, sat: 100%}"}}`,
	`{"do":"change","what":"piece","location":"deep-end","number":1,"fields":{"albedo":"0.5"}}`,
	`{"do":"remove","what":"output","location":"pier","number":1}`,
	`{"do":"change","what":"kit","name":"T1..T4","fields":{"policy":"truest"}}`,
	`{"do":"change","what":"paint","number":1}`, `{}`, `[]`, `null`, `{"do":"change","what":"cue","location":"x","number":-1}`,
	`{"do":"add","what":"mark","location":"deep-end","name":"é b","fields":{"at":"[1,2,3] # x"}}`, `{"do":"x"}{"do":"y"}`,
}

// FuzzDecodeEdit reads any text as an edit: what is read, written and read again
// is the same, and says itself in words; what is not says why and how to mend it.
func FuzzDecodeEdit(f *testing.F) {
	for _, text := range examples {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		e, p := edit.DecodeEdit(text)
		if p != nil {
			require.NotEmpty(t, p.What)
			require.NotEmpty(t, p.Why)
			require.NotEmpty(t, p.Mend)
			return
		}
		require.Nil(t, e.Check())
		require.NotEmpty(t, e.String())
		out, err := json.Marshal(e)
		require.NoError(t, err)
		back, p := edit.DecodeEdit(out)
		require.Nil(t, p, "%s", out)
		again, err := json.Marshal(back)
		require.NoError(t, err)
		require.Equal(t, string(out), string(again))
	})
}

// FuzzEdit makes any edit on a show whose place has any text: it never panics,
// and when it is made and the show has no errors, it equals the twin, and the
// other files are as they were.
func FuzzEdit(f *testing.F) {
	small := smallShow(f)
	const name = "locations/deep-end.yaml"
	for seed := range uint64(12) {
		s := &stylist{Rand: rand.New(rand.NewPCG(seed, 1)), calm: 3}
		text := s.file(parseTree(f, small[name]))
		for _, e := range examples {
			f.Add(text, []byte(e))
		}
	}
	f.Fuzz(func(t *testing.T, text, what []byte) {
		e, p := edit.DecodeEdit(what)
		if p != nil {
			return
		}
		files := maps.Clone(small)
		files[name] = text
		show, problems := edit.Load(".", files)
		if show == nil || problems.HasErrors() {
			return
		}
		after, touched, p := edit.Make(show, files, e)
		if p != nil {
			require.NotEmpty(t, p.Why)
			require.NotEmpty(t, p.Mend)
			return
		}
		next, problems := edit.Load(".", after)
		if problems.HasErrors() {
			return
		}
		require.NotEmpty(t, touched)
		if e.Do == edit.Carry || e.What == edit.TheLocation && e.Do != edit.Change {
			return // the twin has no files that come and go; see location_test.go
		}
		second := twinOf(t, files)
		if e.Do != edit.Rename || second.copy().rename(e) { // the twin does not follow shadowed looks
			second.apply(t, e)
			other, _ := edit.Load(".", second.files())
			require.Empty(t, differ(next, other))
		}
		for file := range files {
			if !slices.ContainsFunc(touched, func(at edit.Touch) bool { return at.Pos.File == file }) {
				require.Equal(t, string(files[file]), string(after[file]))
			}
		}
	})
}

// FuzzSketch makes any edits without files: what it is sure of equals what the files give,
// where these have no errors, and the show that it is made of stays as it was.
func FuzzSketch(f *testing.F) {
	for _, one := range examples {
		f.Add([]byte(one), []byte(examples[0]))
		f.Add([]byte(examples[1]), []byte(one))
	}
	small := smallShow(f)
	show, same := mustLoad(f, ".", small), mustLoad(f, ".", small)
	f.Fuzz(func(t *testing.T, one, other []byte) {
		var edits []edit.Edit
		for _, text := range [][]byte{one, other} {
			if e, p := edit.DecodeEdit(text); p == nil {
				edits = append(edits, e)
			}
		}
		sketched, ok := edit.Sketch(show, edits)
		require.Empty(t, differ(show, same))
		if !ok {
			return
		}
		now, files := show, small
		for _, e := range edits {
			after, _, p := edit.Make(now, files, e)
			if p != nil {
				return // of no meaning in files, which Preview says
			}
			next, problems := edit.Load(".", after)
			if problems.HasErrors() {
				return
			}
			now, files = next, after
		}
		require.Empty(t, differ(sketched, now), "%s and %s", one, other)
	})
}
