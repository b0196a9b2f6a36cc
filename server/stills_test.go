package server_test

import (
	"context"
	"errors"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// Conditional requests are those of RFC 9110 (8.8.3, 13.1.2).
func TestStillsAreServed(t *testing.T) {
	var last string
	s := newServer(t, newFake(), func(c *server.Config) {
		c.Stills = func(_ context.Context, setup, look string) (server.Still, bool, error) {
			last = setup
			return server.Still{Hash: "abc", PNG: []byte("\x89PNG of him")}, look == "warden", nil
		}
	})
	w := get(s, "/api/looks/warden/still?setup=wide")
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, "wide", last)
	require.Equal(t, "\x89PNG of him", w.Body.String())
	require.Equal(t, "image/png", w.Header().Get("Content-Type"))
	require.Equal(t, "no-cache", w.Header().Get("Cache-Control"), "the next edit gives it another face")
	w = ask(s, call{method: "GET", path: "/api/looks/warden/still", header: map[string]string{"If-None-Match": `"abc"`}})
	require.Equal(t, http.StatusNotModified, w.Code)
	require.Empty(t, last)
}

func TestStillsRefuse(t *testing.T) {
	w := get(newServer(t, newFake()), "/api/looks/warden/still")
	require.Equal(t, http.StatusNotFound, w.Code, "nobody draws")

	var fails error
	s := newServer(t, newFake(), func(c *server.Config) {
		c.Stills = func(context.Context, string, string) (server.Still, bool, error) { return server.Still{}, false, fails }
	})
	require.Equal(t, http.StatusBadRequest, get(s, "/api/looks/warden/still?size=large").Code)
	require.Equal(t, http.StatusNotFound, get(s, "/api/looks/nobody/still").Code, "no such look")
	require.Equal(t, http.StatusConflict, get(s, "/api/looks/warden/still").Code, "it came after they were drawn")
	fails = &session.Refusal{Code: "no-picture", Message: "the light is being computed", Kind: session.Conflict}
	require.Equal(t, http.StatusConflict, get(s, "/api/looks/warden/still").Code)
	fails = errors.New("the child died")
	require.Equal(t, http.StatusInternalServerError, get(s, "/api/looks/warden/still").Code)
}
