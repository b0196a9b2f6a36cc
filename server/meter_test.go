package server_test

import (
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// gauge is a meter that a test turns; below 0 there is no light to read.
type gauge struct {
	lux   atomic.Int64
	asked atomic.Int64
}

func (g *gauge) read(look, setup string, patient bool) (any, error) {
	g.asked.Add(1)
	lux := g.lux.Load()
	if lux < 0 {
		return nil, &session.Refusal{Code: "no-light", Message: "being computed", Mend: "wait", Kind: session.Unknown}
	}
	return map[string]any{"look": look, "setup": setup, "lux": lux, "patient": patient}, nil
}

func (g *gauge) wired(c *server.Config) { c.Meter = g.read }

func TestMeterIsServed(t *testing.T) {
	g := &gauge{}
	g.lux.Store(120)
	s := newServer(t, newFake(), g.wired)
	w := get(s, "/api/meter?look=tide&setup=reverse")
	require.Equal(t, http.StatusOK, w.Code)
	require.JSONEq(t, `{"look": "tide", "setup": "reverse", "lux": 120, "patient": true}`, w.Body.String())

	w = get(s, "/api/meter?lok=tide")
	require.Equal(t, http.StatusBadRequest, w.Code)
	code, _, where, mend := problemOf(t, w)
	require.Equal(t, "unknown-field", code)
	require.Equal(t, "lok", where)
	require.Contains(t, mend, "look")

	g.lux.Store(-1)
	w = get(s, "/api/meter")
	require.Equal(t, http.StatusNotFound, w.Code)
	code, _, _, _ = problemOf(t, w)
	require.Equal(t, "no-light", code)

	w = get(newServer(t, newFake()), "/api/meter")
	require.Equal(t, http.StatusNotFound, w.Code, "nobody computes light")
}

// A page that watches is pushed a reading when there is another one, four a second at
// most; nothing is read while nobody watches.
func TestMeterIsPushedToWhoWatches(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := &gauge{}
		l, _ := runOn(t, newServer(t, newFake(), g.wired))
		watcher, other := openPage(t, l.dial, nil), openPage(t, l.dial, nil)
		isMeter := func(h heard) bool { return !h.binary && strings.HasPrefix(string(h.text), `{"type":"meter"`) }
		time.Sleep(2 * time.Second)
		require.Zero(t, g.asked.Load())

		watcher.send(`{"id": 1, "verb": "watch", "meter": true}`)
		require.True(t, watcher.answer(1).wire.OK)
		first := watcher.await("a reading", isMeter)
		require.JSONEq(t, `{"type": "meter", "meter": {"look": "", "setup": "", "lux": 0, "patient": false}}`, string(first.text))
		for range 100 { // light that changes all the time
			g.lux.Add(1)
			time.Sleep(30 * time.Millisecond)
		}
		n := 0
		for _, h := range watcher.heardUntilNow() {
			if isMeter(h) {
				n++
			}
		}
		require.InDelta(t, 12, n, 1, "3 s")
		time.Sleep(3 * time.Second)
		for _, h := range append(watcher.heardUntilNow(), other.heardUntilNow()...) {
			if isMeter(h) {
				require.Contains(t, string(h.text), `"lux":100`, "the last is told once; the other page never hears any")
			}
		}
		g.lux.Store(-1)
		gone := watcher.await("no reading", isMeter)
		require.JSONEq(t, `{"type": "meter", "meter": null}`, string(gone.text))

		other.send(`{"id": 2, "verb": "watch", "meter": true}`)
		other.await("what the other has seen", isMeter)
		for _, p := range []*testPageLink{watcher, other} {
			p.send(`{"id": 3, "verb": "watch", "meter": false}`)
			require.True(t, p.answer(3).wire.OK)
		}
		time.Sleep(time.Second)
		asked := g.asked.Load()
		time.Sleep(3 * time.Second)
		require.Equal(t, asked, g.asked.Load())

		other.send(`{"id": 4, "verb": "watch"}`)
		require.Equal(t, "missing-field", other.answer(4).wire.Error.Code)
		other.send(`{"id": 5, "verb": "watch", "meter": true, "cells": true}`)
		require.Equal(t, "unknown-field", other.answer(5).wire.Error.Code)
	})
}

func TestNothingToWatchWithoutLight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, _ := runOn(t, newServer(t, newFake()))
		p := openPage(t, l.dial, nil)
		p.send(`{"id": 1, "verb": "watch", "meter": true}`)
		require.Equal(t, "no-light", p.answer(1).wire.Error.Code)
	})
}
