package server_test

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"sync"
	"testing"
	"testing/fstest"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/server"
)

var _ server.Director = (*session.Session)(nil)

// poolShow is a small invented show of two places.
func poolShow() fstest.MapFS {
	place := func(port string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte(`
rig:
  p1: {lamp: U1, at: [0, 0, 0], address: ` + port + `.001, circuit: battery}
  p2: {lamp: U2, at: [2, 0, 0], address: ` + port + `.011, circuit: battery}
groups:
  edge: [p1, p2]
cues:
  - {look: warden, fade: 0 s}
  - {look: tide, fade: 4 s}
`)}
	}
	return fstest.MapFS{
		"show.yaml": {Data: []byte(`
title: Pool
timeline: 24 fps
camera: {iso: 800, stop: T2, shutter: 180 deg, fps: 24, balance: 4300 K}
cast:
  warden: {lead: {hue: 32, sat: 92%}}
  tide: {lead: {hue: 186, sat: 90%}}
looks:
  warden: {wears: warden, paint: [{on: edge, colour: lead, level: 50%}]}
  tide: {from: warden, wears: tide}
`)},
		"kit.yaml":            {Data: []byte("U1: {type: puck-rgbw, mode: 8-bit}\nU2: {type: puck-rgbw, mode: 8-bit}\n")},
		"locations/deep.yaml": place("0:0:1"),
		"locations/huts.yaml": place("0:0:2"),
	}
}

// wire is an output that keeps the newest slots of the first port-address.
type wire struct {
	mu    sync.Mutex
	slots []byte
}

func (w *wire) SendFrame(_ []uint16, slots [][]byte, _ bool) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.slots = append(w.slots[:0], slots[0]...)
	return nil
}

// puck gives the red, green, blue and white slots of the first lamp.
func (w *wire) puck() []byte {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.slots[:4])
}

// runSession runs a real session of the pool show behind a server.
func runSession(t *testing.T) (*wire, *server.Server, *pipeListener) {
	show, problems := showfile.LoadFS(poolShow(), "pool")
	require.False(t, problems.HasErrors(), "%v", problems)
	out := &wire{}
	set, _, err := session.Open(session.Config{Show: show, Output: out})
	require.NoError(t, err)
	s := newServer(t, set)
	l, stop := runOn(t, s)
	ctx, cancel := context.WithCancel(context.Background())
	var work sync.WaitGroup
	work.Go(func() { _ = set.Run(ctx) })
	t.Cleanup(func() {
		stop()
		cancel()
		work.Wait()
	})
	return out, s, l
}

// The whole way from a tap on a page to the bytes on the wire and the light on
// another page, with the session that the daemon runs.
func TestRealSessionBehindTwoPages(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out, s, l := runSession(t)
		a, b := openPage(t, l.dial, nil), openPage(t, l.dial, nil)
		require.Equal(t, "warden", b.await("first state", isState).wire.State.Look)
		time.Sleep(time.Second)
		warden := out.puck()
		require.Greater(t, warden[0], warden[2], "hue 32 is a warm colour: more red than blue")
		b.heardUntilNow()

		start := time.Now()
		a.send(`{"id": 1, "verb": "cue", "cue": 2}`)
		require.True(t, a.answer(1).wire.OK)
		// The contract: a second phone sees a change within 100 ms.
		told := b.await("the fade", func(h heard) bool { return isState(h) && bytes.Contains(h.text, []byte(`"to":"tide"`)) })
		require.LessOrEqual(t, told.at.Sub(start), 100*time.Millisecond)
		lit := b.await("light of the fade", func(h heard) bool { return h.binary })
		require.LessOrEqual(t, lit.at.Sub(start), 200*time.Millisecond)

		time.Sleep(5 * time.Second)
		tide := out.puck()
		require.Greater(t, tide[2], tide[0], "hue 186 is a cold colour: more blue than red")
		var newest heard
		for _, h := range b.heardUntilNow() {
			if h.binary {
				newest = h
			}
		}
		// What the pages were shown is what the look gives once it has settled.
		_, _, seen := readCells(t, newest.text)
		_, _, settled := readCells(t, get(s, "/api/looks/tide/cells").Body.Bytes())
		require.Equal(t, settled, seen)

		a.send(`{"id": 2, "verb": "kill"}`)
		require.True(t, a.answer(2).wire.OK)
		time.Sleep(time.Second)
		require.Equal(t, []byte{0, 0, 0, 0}, out.puck())
		a.send(`{"id": 3, "verb": "kill", "on": false}`)
		require.True(t, a.answer(3).wire.OK)
		time.Sleep(2 * time.Second)
		require.Equal(t, tide, out.puck())
	})
}

func TestRealSessionRefuses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out, s, l := runSession(t)
		p := openPage(t, l.dial, nil)
		time.Sleep(time.Second)
		before := out.puck()
		for _, test := range []struct {
			verb, body string
			status     int
		}{
			{"cue", `{"look": "tied"}`, http.StatusNotFound},
			{"cue", `{"cue": 9}`, http.StatusNotFound},
			{"cue", `{}`, http.StatusBadRequest},
			{"cue", `{"look": "tide", "cue": 2}`, http.StatusBadRequest},
			{"cue", `{"look": "tide", "fade": "-4 s"}`, http.StatusBadRequest},
			{"cue", `{"look": "tide", "fade": "4 parsecs"}`, http.StatusBadRequest},
			{"cue", `{"look": "tide", "curve": "wobbly"}`, http.StatusBadRequest},
			{"overall", `{"level": "loud"}`, http.StatusBadRequest},
			{"location", `{"name": "moon"}`, http.StatusNotFound},
			{"resume", ``, http.StatusConflict},
			{"ride", `{"at": 0.5}`, http.StatusConflict},
		} {
			w := post(s, "/api/"+test.verb, test.body)
			require.Equal(t, test.status, w.Code, "%s %s: %s", test.verb, test.body, w.Body)
			problemOf(t, w)
		}
		p.send(`{"id": 1, "verb": "cue", "look": "tied"}`)
		answer := p.answer(1)
		require.NotNil(t, answer.wire.Error)
		require.Contains(t, answer.wire.Error.Message+answer.wire.Error.Mend, "tide", "the nearest look is named")
		time.Sleep(time.Second)
		require.Equal(t, before, out.puck(), "a refusal changed the light")
	})
}

func TestRealSessionMovesToAnotherPlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, s, l := runSession(t)
		p := openPage(t, l.dial, nil)
		p.await("first state", isState)
		var was, is struct {
			Revision  uint32
			Location  string
			Locations []string
		}
		require.NoError(t, json.Unmarshal(get(s, "/api/plan").Body.Bytes(), &was))
		require.Equal(t, []string{"deep", "huts"}, was.Locations)
		require.Equal(t, http.StatusOK, post(s, "/api/location", `{"name": "huts"}`).Code)
		plan := p.await("another plan", func(h heard) bool { return h.wire.Type == "plan" })
		require.NoError(t, json.Unmarshal(get(s, "/api/plan").Body.Bytes(), &is))
		require.Equal(t, plan.wire.Revision, is.Revision)
		require.NotEqual(t, was.Revision, is.Revision)
		require.Equal(t, "huts", is.Location)
		time.Sleep(time.Second)
		require.Contains(t, get(s, "/api/frames").Body.String(), `"address":"0:0:2"`)
	})
}
