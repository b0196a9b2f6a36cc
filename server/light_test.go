package server_test

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/cues/session"
	"linkboy/server"
)

// Conditional requests and content codings are those of RFC 9110 (8.8.3, 12.5.3, 13.1.2).
func TestLightIsServedOncePacked(t *testing.T) {
	var now atomic.Pointer[server.Light]
	now.Store(&server.Light{Stage: "computing"})
	s := newServer(t, newFake(), func(c *server.Config) { c.Light = func() server.Light { return *now.Load() } })

	w := get(s, "/api/light")
	require.Equal(t, http.StatusNotFound, w.Code)
	code, message, _, mend := problemOf(t, w)
	require.Equal(t, "no-light", code)
	require.Contains(t, message, "being computed")
	require.NotEmpty(t, mend)

	light := bytes.Repeat([]byte("light "), 1000)
	now.Store(&server.Light{Stage: "direct", Hash: "abc", Encoded: light})
	w = get(s, "/api/light")
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, light, w.Body.Bytes())
	require.Equal(t, `"abc"`, w.Header().Get("ETag"))
	require.Equal(t, "no-cache", w.Header().Get("Cache-Control"))

	w = ask(s, call{method: "GET", path: "/api/light", header: map[string]string{"If-None-Match": `"abc"`}})
	require.Equal(t, http.StatusNotModified, w.Code)
	require.Empty(t, w.Body.Bytes())

	for accept, packed := range map[string]bool{"gzip, deflate, br": true, "br;q=1, gzip;q=0.5": true, "*": true, "gzip;q=0": false, "deflate": false} {
		w = ask(s, call{method: "GET", path: "/api/light", header: map[string]string{"Accept-Encoding": accept}})
		require.Equal(t, http.StatusOK, w.Code)
		require.Equal(t, "Accept-Encoding", w.Header().Get("Vary"))
		if !packed {
			require.Empty(t, w.Header().Get("Content-Encoding"), accept)
			require.Equal(t, light, w.Body.Bytes(), accept)
			continue
		}
		require.Equal(t, "gzip", w.Header().Get("Content-Encoding"), accept)
		require.NotEqual(t, `"abc"`, w.Header().Get("ETag"), "another representation has another tag")
		z, err := gzip.NewReader(w.Body)
		require.NoError(t, err)
		got, err := io.ReadAll(z)
		require.NoError(t, err)
		require.Equal(t, light, got)
	}

	now.Store(&server.Light{Stage: "bounced", Hash: "def", Encoded: []byte("more")})
	w = ask(s, call{method: "GET", path: "/api/light", header: map[string]string{"Accept-Encoding": "gzip", "If-None-Match": `"abc-gzip"`}})
	require.Equal(t, http.StatusOK, w.Code, "new light is not the old one packed")
	require.Equal(t, `"def-gzip"`, w.Header().Get("ETag"))
}

func TestStateTellsHowFarTheLightIs(t *testing.T) {
	light := func(c *server.Config) {
		c.Light = func() server.Light { return server.Light{Stage: "coarse", Hash: "abc"} }
	}
	for want, change := range map[string]func(*server.Config){
		`null`:                            func(*server.Config) {},
		`{"stage":"coarse","hash":"abc"}`: light,
	} {
		var body struct{ Light json.RawMessage }
		require.NoError(t, json.Unmarshal(get(newServer(t, newFake(), change), "/api/state").Body.Bytes(), &body))
		require.JSONEq(t, want, string(body.Light))
	}
	code, _, _, _ := problemOf(t, get(newServer(t, newFake()), "/api/light"))
	require.Equal(t, "no-light", code)
}

func TestSceneIsServed(t *testing.T) {
	var scene struct {
		Location string
		Aspect   float64
	}
	require.NoError(t, json.Unmarshal(get(newServer(t, newFake()), "/api/scene").Body.Bytes(), &scene))
	require.Equal(t, "deep-end", scene.Location)
	require.InDelta(t, 16.0/9, scene.Aspect, 1e-12)
}

// readSeen reads a seen frame by the layout of the contract, byte by byte.
func readSeen(t testing.TB, b []byte) (revision uint32, frame uint64, cells [][3]float64) {
	t.Helper()
	require.GreaterOrEqual(t, len(b), 16)
	require.Equal(t, []byte{2, 0}, b[:2], "kind and pad")
	n := int(binary.LittleEndian.Uint16(b[2:]))
	require.Len(t, b, 16+6*n)
	for i := range n {
		var c [3]float64
		for k := range c {
			if code := binary.LittleEndian.Uint16(b[16+6*i+2*k:]); code > 0 {
				c[k] = math.Exp2((float64(code) - 32768) / 1024)
			}
		}
		cells = append(cells, c)
	}
	return binary.LittleEndian.Uint32(b[4:]), binary.LittleEndian.Uint64(b[8:]), cells
}

func TestSeenFrameKeepsLightToAThreeThousandth(t *testing.T) {
	values := []float64{0, 1e-9, 0.001, 0.5, 1, 3.14159, 7500, 1e6, 4e9, -1, math.NaN()}
	var cells []camera.RGB
	for _, v := range values {
		cells = append(cells, camera.RGB{R: v, G: 2, B: 0})
	}
	revision, frame, got := readSeen(t, server.AppendSeen(nil, 7, 9, cells))
	require.Equal(t, uint32(7), revision)
	require.Equal(t, uint64(9), frame)
	for i, v := range values {
		if !(v > 0) {
			require.Zero(t, got[i][0], "%v", v)
		} else {
			require.InEpsilon(t, v, got[i][0], 1.0/2900, "%v", v)
		}
		require.InDelta(t, 2, got[i][1], 1e-12)
	}
	require.Equal(t, uint16(32768+1024), binary.LittleEndian.Uint16(server.AppendSeen(nil, 7, 9, cells)[18:]), "2 lm")
}

func TestSeenFramesFlowInAFadeAndRestAfterIt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		l, _ := runOn(t, newServer(t, d))
		p := openPage(t, l.dial, nil)
		isSeen := func(h heard) bool { return h.seen }
		_, _, cells := readSeen(t, p.await("what the camera sees", isSeen).text)
		require.Len(t, cells, 2)
		d.change(func(st *session.State) { st.Fade = &session.Fade{} })
		p.heardUntilNow()
		for i := range 4 * 44 { // every frame changes the light
			time.Sleep(time.Second / 44)
			d.light(float64(i))
		}
		flow := 0
		for _, h := range p.heardUntilNow() {
			if h.seen {
				flow++
			}
		}
		require.GreaterOrEqual(t, flow, 4*30, "30 a second or more")
		require.LessOrEqual(t, flow, 4*44)
		time.Sleep(100 * time.Millisecond)
		p.heardUntilNow()
		time.Sleep(4 * time.Second)
		for _, h := range p.heardUntilNow() {
			require.False(t, h.seen, "light that does not change is sent once")
		}
		_, _, cells = readSeen(t, openPage(t, l.dial, nil).await("what the camera sees", isSeen).text)
		require.InEpsilon(t, 4*44-1, cells[0][0], 0.001, "a page that comes later sees it too")
	})
}

func TestSeenOfALook(t *testing.T) {
	s := newServer(t, newFake())
	w := get(s, "/api/looks/warden/seen")
	require.Equal(t, "application/octet-stream", w.Header().Get("Content-Type"))
	revision, frame, cells := readSeen(t, w.Body.Bytes())
	require.Equal(t, uint32(1), revision)
	require.Zero(t, frame)
	require.InEpsilon(t, 4, cells[0][0], 0.001)
	require.Equal(t, http.StatusNotFound, get(s, "/api/looks/nobody/seen").Code)
}
