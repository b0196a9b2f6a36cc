package server_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

func TestHostOnThisMachineOnly(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.Listen = "127.0.0.3:4040" })
	for host, want := range map[string]int{
		"127.0.0.1:4040":          200,
		"127.0.0.1":               200,
		"127.9.9.9:1":             200, // all of 127/8 is loopback (RFC 1122 3.2.1.3)
		"localhost":               200,
		"LocalHost:8080":          200, // through a tunnel, under another port
		"[::1]:4040":              200,
		"[::1]":                   200,
		"[::ffff:127.0.0.1]:4040": 200,
		"127.0.0.3:4040":          200,
		"evil.example":            403, // a name that points here: DNS rebinding
		"evil.example:4040":       403,
		"localhost.evil.example":  403,
		"127.0.0.1.evil.example":  403,
		"192.168.1.5:4040":        403,
		"0.0.0.0:4040":            403,
		"a b":                     400,
		"a;script-src *":          400,
		"":                        400,
	} {
		for _, c := range []call{{method: "GET", path: "/"}, {method: "GET", path: "/healthz"}, {method: "POST", path: "/api/kill"}, {method: "GET", path: "/ws"}} {
			d := s
			c.header = map[string]string{"Host": host}
			w := ask(d, c)
			if want == 200 {
				require.NotContains(t, []int{400, 403}, w.Code, "%s %s", host, c.path)
				continue
			}
			require.Equal(t, want, w.Code, "%q %s", host, c.path)
			code, _, where, _ := problemOf(t, w)
			require.Equal(t, "foreign-host", code)
			require.Equal(t, "Host", where)
		}
	}
}

func TestForeignPagesAreRefused(t *testing.T) {
	for _, test := range []struct {
		name    string
		call    call
		refused bool
	}{
		{"a program sends no Origin", call{method: "POST", path: "/api/hold"}, false},
		{"the page's own request", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "http://127.0.0.1:4040", "Sec-Fetch-Site": "same-origin"}}, false},
		{"the page's own read", call{method: "GET", path: "/api/state", header: map[string]string{"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "cors"}}, false},
		{"an address typed in", call{method: "GET", path: "/", header: map[string]string{"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate"}}, false},
		{"a link on another site", call{method: "GET", path: "/", header: map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}}, false},
		{"TLS in front", call{method: "POST", path: "/api/hold", header: map[string]string{"Host": "localhost", "Origin": "https://localhost"}}, false},
		{"a default port left out", call{method: "POST", path: "/api/hold", header: map[string]string{"Host": "localhost:80", "Origin": "http://localhost"}}, false},
		{"a post from another site", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "http://evil.example"}}, true},
		{"a post from another port", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "http://127.0.0.1:3000"}}, true},
		{"a post from the same machine by another name", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "http://localhost:4040"}}, true},
		{"a post from a sandboxed frame or a file", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "null"}}, true},
		{"a websocket from another site", call{method: "GET", path: "/ws", header: map[string]string{"Origin": "http://evil.example", "Connection": "Upgrade", "Upgrade": "websocket"}}, true},
		{"a read from another site", call{method: "GET", path: "/api/state", header: map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}}, true},
		{"a read from another port of this machine", call{method: "GET", path: "/api/state", header: map[string]string{"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors"}}, true},
		{"a form sent from another site", call{method: "POST", path: "/api/hold", header: map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}}, true},
		{"an Origin that is none", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "127.0.0.1:4040"}}, true},
		{"an Origin of another scheme", call{method: "POST", path: "/api/hold", header: map[string]string{"Origin": "file://127.0.0.1:4040"}}, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := newFake()
			w := ask(newServer(t, d), test.call)
			if !test.refused {
				require.Equal(t, http.StatusOK, w.Code, w.Body)
				return
			}
			require.Equal(t, http.StatusForbidden, w.Code, w.Body)
			code, _, _, _ := problemOf(t, w)
			require.Equal(t, "foreign-origin", code)
			require.Empty(t, d.verbs())
		})
	}
}

func TestEveryAnswerTellsBrowsersWhatIsAllowed(t *testing.T) {
	s := newServer(t, newFake())
	for _, path := range []string{"/", "/main.js", "/api/state", "/nothing", "/healthz"} {
		h := get(s, path).Header()
		// Directives of W3C CSP 3.
		require.Equal(t, "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self' blob:; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; connect-src 'self' ws://127.0.0.1:4040",
			h.Get("Content-Security-Policy"), path)
		require.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		require.Equal(t, "same-origin", h.Get("Cross-Origin-Resource-Policy"), path)
		require.Empty(t, h.Get("Access-Control-Allow-Origin"), path)
	}
	refused := ask(s, call{method: "GET", path: "/", header: map[string]string{"Host": "evil.example"}})
	require.NotContains(t, refused.Header().Get("Content-Security-Policy"), "evil.example")
}
