package server_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/against"
	"linkboy/cues/session"
)

// What there is to paint with comes as the director has it.
func TestPaintRoutes(t *testing.T) {
	s := newServer(t, newFake())
	read := func(path string, v any) {
		t.Helper()
		w := get(s, path)
		require.Equal(t, http.StatusOK, w.Code, w.Body.String())
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), v))
	}
	var paint session.LookPaint
	read("/api/looks/low%20tide/paint", &paint)
	require.Equal(t, "low tide", paint.Look)
	var reach session.Reach
	read("/api/reach?cells=0,3-5", &reach)
	require.Equal(t, [][2]float64{{0, 0}, {3, 0}, {4, 0}, {5, 0}}, reach.Shared)
	var report against.Report
	read("/api/looks/low%20tide/against/tide", &report)
	require.Equal(t, []string{"low tide", "tide"}, []string{report.Look, report.Against})
	require.Equal(t, http.StatusNotFound, get(s, "/api/looks/tide/against/tied").Code)
	var script struct{ Looks []struct{ Look string } }
	read("/api/script", &script)
	require.Equal(t, "tide", script.Looks[0].Look)
}
