package server_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// Conditional requests and content codings are those of RFC 9110 (8.8.3, 12.5.3, 13.1.2).
func TestHazeIsServedPacked(t *testing.T) {
	plain := bytes.Repeat([]byte("air "), 1000)
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, err := z.Write(plain)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	type asked struct {
		setup string
		share float64
	}
	var last asked
	s := newServer(t, newFake(), func(c *server.Config) {
		c.Haze = func(_ context.Context, setup string, share float64) (server.Air, error) {
			last = asked{setup, share}
			return server.Air{Hash: "abc", Packed: packed.Bytes()}, nil
		}
	})

	w := get(s, "/api/haze?setup=wide&share=0.15")
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, asked{"wide", 0.15}, last)
	require.Equal(t, plain, w.Body.Bytes())
	require.Equal(t, `"abc"`, w.Header().Get("ETag"))

	w = ask(s, call{method: "GET", path: "/api/haze?share=0.9", header: map[string]string{"Accept-Encoding": "gzip"}})
	require.Equal(t, asked{"", 0.9}, last)
	require.Equal(t, "gzip", w.Header().Get("Content-Encoding"))
	require.NotEqual(t, `"abc"`, w.Header().Get("ETag"), "another representation has another tag")
	r, err := gzip.NewReader(w.Body)
	require.NoError(t, err)
	body, err := io.ReadAll(r)
	require.NoError(t, err)
	require.Equal(t, plain, body)

	w = ask(s, call{method: "GET", path: "/api/haze?share=0.9", header: map[string]string{"If-None-Match": `"abc"`}})
	require.Equal(t, http.StatusNotModified, w.Code)
}

func TestHazeRefuses(t *testing.T) {
	w := get(newServer(t, newFake()), "/api/haze?share=0.1")
	require.Equal(t, http.StatusNotFound, w.Code, "nobody computes it")

	var fails error
	s := newServer(t, newFake(), func(c *server.Config) {
		c.Haze = func(context.Context, string, float64) (server.Air, error) { return server.Air{}, fails }
	})
	for query, field := range map[string]string{
		"": "share", "?share=": "share", "?share=0": "share", "?share=-0.1": "share", "?share=0.91": "share", "?share=NaN": "share",
		"?share=1e999": "share", "?share=10%25": "share", "?share=0.1&thick=yes": "thick",
	} {
		w := get(s, "/api/haze"+query)
		require.Equal(t, http.StatusBadRequest, w.Code, query)
		_, _, where, mend := problemOf(t, w)
		require.Equal(t, field, where, query)
		require.NotEmpty(t, mend, query)
	}
	fails = &session.Refusal{Code: "unknown-setup", Message: "there is no set-up here of that name", Kind: session.Unknown}
	require.Equal(t, http.StatusNotFound, get(s, "/api/haze?share=0.1&setup=x").Code)
	fails = errors.New("the child died")
	require.Equal(t, http.StatusInternalServerError, get(s, "/api/haze?share=0.1").Code)
}
