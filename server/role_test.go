package server_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

// The codes of guests as Python's hashlib and hmac make them of testCode: PBKDF2-HMAC-SHA256
// (RFC 8018 5.2), of that HKDF-Expand (RFC 5869 2.3) for each role, and letters of the bytes.
var guestCodes = map[string]string{"operator": "2xhh-47uv", "assistant": "uhk9-wnyq", "viewer": "td7u-sfvn"}

// pairedAs is what a phone sends that was paired by a code.
func pairedAs(t testing.TB, s *server.Server, code string) map[string]string {
	t.Helper()
	w := ask(s, call{method: "GET", path: "/?code=" + code, header: phone})
	require.Equal(t, http.StatusSeeOther, w.Code, code)
	c := cookieOf(w)
	require.NotNil(t, c, code)
	return with(phone, "Cookie", c.Name+"="+c.Value)
}

func TestRolesMayDoWhatIsTheirs(t *testing.T) {
	type try struct{ method, path, body string }
	reads := []try{{"GET", "/api/state", ""}, {"GET", "/api/plan", ""}, {"GET", "/", ""}, {"HEAD", "/api/looks/warden/seen", ""}}
	lampWork := []try{
		{"POST", "/api/point", `{"lamp": "lane-1"}`}, {"POST", "/api/worklight", ""},
		{"POST", "/api/edit", `{"revision": 4, "edits": [{"what": "lamp", "name": "lane-1"}]}`},
	}
	runs := []try{
		{"POST", "/api/cue", `{"look": "tide"}`}, {"POST", "/api/hold", ""}, {"POST", "/api/kill", ""}, {"POST", "/api/dry", `{"on": true}`},
		{"POST", "/api/location", `{"name": "pump-room"}`}, {"POST", "/api/undo", ""}, {"POST", "/api/try", `{"look": "tide", "edits": [{}]}`},
		{"POST", "/api/edit", `{"revision": 4, "edits": [{"what": "lamp"}, {"what": "look"}]}`},
		{"POST", "/api/edit", `{"revision": 4, "edits": [{}]}`},
		{"POST", "/api/edit", `{"revision": 4, "edits": [{"what": "look", "What": "lamp"}]}`},
	}
	lets := []try{{"GET", "/api/pairing", ""}}
	for _, who := range []struct {
		role, code  string
		may, mayNot [][]try
	}{
		{"owner", testCode, [][]try{reads, lampWork, runs, lets}, nil},
		{"operator", guestCodes["operator"], [][]try{reads, lampWork, runs}, [][]try{lets}},
		{"assistant", guestCodes["assistant"], [][]try{reads, lampWork}, [][]try{runs, lets}},
		{"viewer", guestCodes["viewer"], [][]try{reads}, [][]try{lampWork, runs, lets}},
	} {
		t.Run(who.role, func(t *testing.T) {
			d, e := newFake(), &fakeEditor{revision: 4}
			s := newServer(t, d, func(c *server.Config) { c.Listen, c.Code, c.Editor = "0.0.0.0:0", testCode, e })
			phone := pairedAs(t, s, who.code)
			for _, all := range who.may {
				for _, c := range all {
					w := ask(s, call{method: c.method, path: c.path, body: c.body, header: phone})
					require.Less(t, w.Code, http.StatusInternalServerError, c.path)
					require.NotContains(t, []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusBadRequest}, w.Code, "%s %s: %s", c.path, c.body, w.Body)
				}
			}
			d.verbs() // forgets them
			edited := len(e.done)
			for _, all := range who.mayNot {
				for _, c := range all {
					w := ask(s, call{method: c.method, path: c.path, body: c.body, header: phone})
					require.Equal(t, http.StatusForbidden, w.Code, "%s %s", c.path, c.body)
					code, message, _, mend := problemOf(t, w)
					require.Equal(t, "not-yours", code)
					require.Contains(t, message, who.role)
					require.NotEmpty(t, mend)
				}
			}
			require.Empty(t, d.verbs(), "what is refused is not done")
			require.Len(t, e.done, edited)
		})
	}
}

// A role that is new to a path must be thought of: what is not named is the operator's.
func TestWhatIsNotNamedIsTheOperators(t *testing.T) {
	d := newFake()
	s := pairedServer(t, d)
	phone := pairedAs(t, s, guestCodes["assistant"])
	open := map[string]bool{"/pair": true, "/api/point": true, "/api/worklight": true, "/api/edit": true, "/api/identify": true, "/api/devices": true, "/api/rigcheck": true}
	for path, methods := range s.Routes() {
		for _, method := range methods {
			if method != "POST" || open[path] {
				continue
			}
			w := ask(s, call{method: method, path: strings.NewReplacer("{name}", "warden", "{id}", "1").Replace(path), header: phone})
			require.Equal(t, http.StatusForbidden, w.Code, path)
		}
	}
	require.Empty(t, d.verbs())
}

func TestADeviceIsPairedForMore(t *testing.T) {
	s := pairedServer(t, newFake())
	viewer := pairedAs(t, s, guestCodes["viewer"])
	may := func(header map[string]string) int {
		return ask(s, call{method: "POST", path: "/api/hold", header: header}).Code
	}
	require.Equal(t, http.StatusForbidden, may(viewer))
	w := ask(s, call{method: "GET", path: "/?code=an-old-one", header: viewer})
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Nil(t, cookieOf(w), "an old code changes nothing")
	w = ask(s, call{method: "GET", path: "/?code=" + guestCodes["operator"], header: viewer})
	require.Equal(t, http.StatusSeeOther, w.Code)
	c := cookieOf(w)
	require.NotNil(t, c)
	require.Equal(t, http.StatusOK, may(with(phone, "Cookie", c.Name+"="+c.Value)))

	other := newServer(t, newFake(), func(c *server.Config) { c.Listen, c.Code = "0.0.0.0:0", "tide-4wax" })
	require.Equal(t, http.StatusUnauthorized, ask(other, call{method: "GET", path: "/?code=" + guestCodes["viewer"], header: phone}).Code, "another daemon has other codes")
}

func TestOwnerLetsOthersIn(t *testing.T) {
	s := pairedServer(t, newFake())
	w := ask(s, call{method: "GET", path: "/api/pairing", header: pairedAs(t, s, testCode)})
	require.Equal(t, http.StatusOK, w.Code)
	var got struct {
		Invitations []struct {
			Role, Code, URL string
			QR              []string
		}
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &got))
	require.NotContains(t, w.Body.String(), testCode)
	codes := map[string]string{}
	for _, i := range got.Invitations {
		codes[i.Role] = i.Code
		u, err := url.Parse(i.URL)
		require.NoError(t, err)
		require.Equal(t, "192.168.1.5:4040", u.Host, "as the owner has come")
		require.Equal(t, i.Code, u.Query().Get("code"))
		require.Equal(t, 1, len(i.QR)%4, "17 + 4n modules (ISO/IEC 18004 6.3.1)")
		for _, row := range i.QR {
			require.Len(t, row, len(i.QR))
		}
		require.Equal(t, "#######.", i.QR[0][:8], "a finder pattern and its separator")
		require.Equal(t, "#.###.#.", i.QR[2][:8])
	}
	require.Equal(t, guestCodes, codes)

	code, _, _, mend := problemOf(t, get(newServer(t, newFake()), "/api/pairing"))
	require.Equal(t, "no-pairing", code)
	require.Contains(t, mend, "--listen")
}

func TestRoleOverTheSocket(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newFake()
		s := pairedServer(t, d)
		viewer, header := pairedAs(t, s, guestCodes["viewer"]), http.Header{}
		for k, v := range viewer {
			if k == "Cookie" {
				header.Set(k, v)
			}
		}
		l, stop := runOn(t, s)
		p := openPage(t, l.dial, header)
		require.Equal(t, "viewer", p.await("who it is", func(h heard) bool { return h.wire.Type == "role" }).wire.Role)
		p.await("the state", isState)
		p.send(`{"id": 1, "verb": "cue", "look": "tide"}`)
		require.Equal(t, "not-yours", p.answer(1).wire.Error.Code)
		p.send(`{"id": 2, "verb": "edit", "revision": 1, "edits": [{"what": "lamp"}]}`)
		require.Equal(t, "not-yours", p.answer(2).wire.Error.Code)
		p.send(`{"id": 3, "verb": "made-up"}`)
		require.Equal(t, "not-yours", p.answer(3).wire.Error.Code)
		require.Empty(t, d.verbs())
		counted := ask(s, call{method: "GET", path: "/metrics", header: viewer}).Body.String()
		for _, verb := range []string{"cue", "edit", "unknown"} {
			require.Contains(t, counted, `linkboy_verbs_total{result="not-yours",verb="`+verb+`"} 1`)
		}
		p.leave()
		stop()
	})
}
