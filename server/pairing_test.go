package server_test

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

const testCode = "tide-4wav"

func pairedServer(t testing.TB, d server.Director) *server.Server {
	return newServer(t, d, func(c *server.Config) { c.Listen, c.Code = "0.0.0.0:0", testCode })
}

// cookieOf gives the cookie that an answer sets, nil when it sets none.
func cookieOf(w *httptest.ResponseRecorder) *http.Cookie {
	for _, c := range w.Result().Cookies() {
		return c
	}
	return nil
}

var phone = map[string]string{"Host": "192.168.1.5:4040", "Accept": "text/html,application/xhtml+xml"}

func with(header map[string]string, more ...string) map[string]string {
	all := map[string]string{}
	for k, v := range header {
		all[k] = v
	}
	for i := 0; i < len(more); i += 2 {
		all[more[i]] = more[i+1]
	}
	return all
}

func TestNothingWorksWithoutPairing(t *testing.T) {
	d := newFake()
	s := pairedServer(t, d)
	for path, methods := range s.Routes() {
		path = strings.ReplaceAll(path, "{name}", "warden")
		for _, method := range methods {
			if path == "/healthz" || path == "/pair" {
				continue
			}
			w := ask(s, call{method: method, path: path, header: with(phone, "Connection", "Upgrade", "Upgrade", "websocket")})
			require.Equal(t, http.StatusUnauthorized, w.Code, "%s %s", method, path)
			require.NotEmpty(t, w.Header().Get("WWW-Authenticate")) // RFC 9110 15.5.2
			code, _, _, mend := problemOf(t, w)
			require.Equal(t, "not-paired", code)
			require.Contains(t, mend, "QR")
		}
	}
	require.Empty(t, d.verbs())
	for _, path := range []string{"/", "/main.js", "/pair", "/nothing"} {
		w := ask(s, call{method: "GET", path: path, header: phone})
		require.Equal(t, http.StatusUnauthorized, w.Code, path)
		require.Contains(t, w.Body.String(), "Pairing code", path)
		require.NotContains(t, w.Body.String(), testCode)
	}
	require.Equal(t, http.StatusUnauthorized, ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"Accept": "*/*"}}).Code)
	health := ask(s, call{method: "GET", path: "/healthz", header: phone})
	require.Equal(t, http.StatusNoContent, health.Code)
}

func TestPairingByTheQRCode(t *testing.T) {
	d := newFake()
	s := pairedServer(t, d)
	w := ask(s, call{method: "GET", path: "/?code=" + testCode, header: phone})
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, "/", w.Header().Get("Location"), "the code must leave the address bar")
	cookie := cookieOf(w)
	require.NotNil(t, cookie)
	require.True(t, cookie.HttpOnly)
	require.Equal(t, http.SameSiteStrictMode, cookie.SameSite)
	require.Equal(t, "/", cookie.Path)
	require.NotContains(t, cookie.Value, testCode)

	paired := with(phone, "Cookie", cookie.Name+"="+cookie.Value)
	require.Contains(t, ask(s, call{method: "GET", path: "/", header: paired}).Body.String(), "<title>page")
	require.Equal(t, http.StatusOK, ask(s, call{method: "POST", path: "/api/hold", header: paired}).Code)
	require.Equal(t, []string{"hold"}, d.verbs())
	for _, path := range []string{"/?code=an-old-one", "/pair"} {
		w = ask(s, call{method: "GET", path: path, header: paired})
		require.Equal(t, http.StatusSeeOther, w.Code, "whoever is paired goes on to the page")
	}
	// Paired or not, a foreign page stays outside.
	require.Equal(t, http.StatusForbidden, ask(s, call{method: "POST", path: "/api/hold", header: with(paired, "Origin", "http://evil.example")}).Code)

	forged := with(phone, "Cookie", cookie.Name+"="+cookie.Value[:len(cookie.Value)-1]+"-")
	require.Equal(t, http.StatusUnauthorized, ask(s, call{method: "POST", path: "/api/hold", header: forged}).Code)
}

func TestPairingByTyping(t *testing.T) {
	for name, body := range map[string]string{
		"as shown": testCode, "shouted": "TIDE-4WAV", "without its dash": "tide4wav", "with spaces": " Tide 4wav ",
	} {
		s := pairedServer(t, newFake())
		form := with(phone, "Content-Type", "application/x-www-form-urlencoded", "Origin", "http://192.168.1.5:4040")
		w := ask(s, call{method: "POST", path: "/pair", body: url.Values{"code": {body}}.Encode(), header: form})
		require.Equal(t, http.StatusSeeOther, w.Code, name)
		require.NotNil(t, cookieOf(w), name)

		w = ask(s, call{method: "POST", path: "/pair", body: fmt.Sprintf(`{"code": %q}`, body), header: map[string]string{"Host": "box.local"}})
		require.Equal(t, http.StatusOK, w.Code, name)
		require.JSONEq(t, `{"ok": true}`, w.Body.String())
		require.NotNil(t, cookieOf(w), name)
	}
}

func TestAWrongCodeSaysSo(t *testing.T) {
	s := pairedServer(t, newFake())
	w := ask(s, call{method: "GET", path: "/?code=<script>alert(1)</script>", header: phone})
	require.Equal(t, http.StatusUnauthorized, w.Code)
	require.Contains(t, w.Body.String(), "not the pairing code")
	require.NotContains(t, w.Body.String(), "<script>")
	require.Nil(t, cookieOf(w))

	w = ask(s, call{method: "POST", path: "/pair", body: "code=tide-4wax", header: with(phone, "Content-Type", "application/x-www-form-urlencoded")})
	require.Equal(t, http.StatusUnauthorized, w.Code)
	require.Contains(t, w.Body.String(), "not the pairing code")
	require.Contains(t, w.Body.String(), `aria-invalid="true"`)

	for body, code := range map[string]string{`{"code": "tide-4wa"}`: "wrong-pairing-code", `{"cod": "x"}`: "unknown-field", `{}`: "missing-field", `{"code": 5}`: "bad-value"} {
		w = ask(s, call{method: "POST", path: "/pair", body: body})
		got, _, _, _ := problemOf(t, w)
		require.Equal(t, code, got, body)
		require.Nil(t, cookieOf(w), body)
	}
	require.Equal(t, 400, ask(s, call{method: "POST", path: "/pair", body: "code=%zz", header: map[string]string{"Content-Type": "application/x-www-form-urlencoded"}}).Code)
	require.Equal(t, 415, ask(s, call{method: "POST", path: "/pair", body: "x", header: map[string]string{"Content-Type": "text/plain"}}).Code)
	require.Equal(t, 405, ask(pairless(t), call{method: "DELETE", path: "/pair"}).Code)
	require.Equal(t, 403, ask(s, call{method: "POST", path: "/pair", body: `{"code": "tide-4wav"}`, header: map[string]string{"Origin": "http://evil.example"}}).Code)
}

func pairless(t testing.TB) *server.Server { return newServer(t, newFake()) }

func TestPairingWhereNobodyAsksForIt(t *testing.T) {
	s := pairless(t)
	require.Empty(t, s.Code())
	w := post(s, "/pair", `{"code": "whatever-it-is"}`)
	require.Equal(t, http.StatusOK, w.Code)
	require.Nil(t, cookieOf(w))
	require.Equal(t, http.StatusSeeOther, get(s, "/pair").Code)
}

func TestPairingOnThisMachineStillChecksTheHost(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.Pair, c.Code = true, testCode })
	require.Equal(t, http.StatusUnauthorized, get(s, "/api/state").Code)
	require.Equal(t, http.StatusForbidden, ask(s, call{method: "GET", path: "/?code=" + testCode, header: map[string]string{"Host": "evil.example"}}).Code)
}

func TestListenAddressDecidesAboutPairing(t *testing.T) {
	for listen, asks := range map[string]bool{
		"127.0.0.1:0": false, "127.5.5.5:0": false, "[::1]:0": false, "localhost:0": false, "": false,
		"0.0.0.0:0": true, "[::]:0": true, ":0": true, "192.168.1.5:0": true, "box.local:0": true,
	} {
		s := newServer(t, newFake(), func(c *server.Config) { c.Listen = listen })
		require.Equal(t, asks, s.Code() != "", listen)
	}
}

func TestPhonesStayPairedWhenTheCodeIsGiven(t *testing.T) {
	pair := func(code string) (*server.Server, *http.Cookie) {
		s := newServer(t, newFake(), func(c *server.Config) { c.Listen, c.Code = "0.0.0.0:0", code })
		return s, cookieOf(ask(s, call{method: "GET", path: "/?code=" + s.Code(), header: phone}))
	}
	knows := func(s *server.Server, c *http.Cookie) bool {
		return ask(s, call{method: "GET", path: "/api/state", header: with(phone, "Cookie", c.Name+"="+c.Value)}).Code == http.StatusOK
	}
	_, before := pair(testCode)
	after, _ := pair(testCode)
	require.True(t, knows(after, before))
	_, before = pair("")
	after, own := pair("")
	require.True(t, knows(after, own))
	require.False(t, knows(after, before), "a new code at each start ends old pairings")
}

func TestNewCodesAreEasyToTypeAndDiffer(t *testing.T) {
	form := regexp.MustCompile("^[" + server.CodeLetters + "]{4}-[" + server.CodeLetters + "]{4}$")
	require.NotContains(t, server.CodeLetters, "l")
	count := map[rune]int{}
	seen := map[string]bool{}
	const codes = 3100
	for range codes {
		code := server.NewCode()
		require.Regexp(t, form, code)
		require.False(t, seen[code])
		seen[code] = true
		for _, c := range strings.ReplaceAll(code, "-", "") {
			count[c]++
		}
	}
	// Each letter is as likely: 800 of each expected, 28 the standard
	// deviation; six of these are passed once in 10^8 runs.
	for _, c := range server.CodeLetters {
		require.InDelta(t, codes*8/len(server.CodeLetters), count[c], 6*28, "%c", c)
	}
}

// guess sends a code from a device and gives the status and what the answer asks to wait.
func guess(s *server.Server, remote, code string) (int, string) {
	w := ask(s, call{method: "POST", path: "/pair", body: fmt.Sprintf(`{"code": %q}`, code), remote: remote})
	return w.Code, w.Header().Get("Retry-After")
}

func TestWrongCodesCostMoreAndMoreTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := pairedServer(t, newFake())
		const evil, friend = "10.0.0.66:1234", "10.0.0.7:1234"
		for range server.FreeGuesses {
			status, _ := guess(s, evil, "wrong-code")
			require.Equal(t, 401, status)
		}
		// The next wrong ones are followed by 1, 2, 4 ... 60 s in which nothing counts.
		for _, wait := range []time.Duration{1, 2, 4, 8, 16, 32, 60, 60} {
			wait *= time.Second
			status, _ := guess(s, evil, "wrong-code")
			require.Equal(t, 401, status)
			status, retry := guess(s, evil, testCode)
			require.Equal(t, 429, status, "even the right code must wait")
			require.Equal(t, fmt.Sprint(int(wait/time.Second)), retry)
			time.Sleep(wait - time.Millisecond)
			status, _ = guess(s, evil, testCode)
			require.Equal(t, 429, status)
			time.Sleep(time.Millisecond)
		}
		status, _ := guess(s, friend, testCode)
		require.Equal(t, 200, status, "another device does not pay for it")
		status, _ = guess(s, evil, testCode)
		require.Equal(t, 200, status)
		for range server.FreeGuesses {
			status, _ = guess(s, evil, "wrong-code")
			require.Equal(t, 401, status, "the right code wipes the slate")
		}
	})
}

func TestGuessingFromManyAddressesIsSlowToo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := pairedServer(t, newFake())
		tried := 0
		start := time.Now()
		for i := 0; time.Since(start) < time.Hour; i++ {
			if status, _ := guess(s, fmt.Sprintf("10.%d.%d.%d:1", i>>16&255, i>>8&255, i&255), "wrong-code"); status == 401 {
				tried++
			}
			time.Sleep(100 * time.Millisecond)
		}
		require.Greater(t, tried, server.GuessesAtOnce)
		require.Less(t, tried, 1900, "half a guess a second, whatever the number of devices")
	})
}

func TestOneDeviceIsAWholeIPv6Network(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := pairedServer(t, newFake())
		for i := range server.FreeGuesses + 1 {
			status, _ := guess(s, fmt.Sprintf("[2001:db8::%x]:1", i+1), "wrong-code")
			require.Equal(t, 401, status)
		}
		status, _ := guess(s, "[2001:db8::ffff]:1", testCode)
		require.Equal(t, 429, status)
		status, _ = guess(s, "[2001:db8:0:1::1]:1", testCode)
		require.Equal(t, 200, status)
	})
}

func TestPairingPageObeysItsOwnPolicy(t *testing.T) {
	s := pairedServer(t, newFake())
	w := ask(s, call{method: "GET", path: "/", header: phone})
	style := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(w.Body.String())
	require.NotNil(t, style)
	sum := sha256.Sum256([]byte(style[1])) // W3C CSP 3, 6.7.3.3: the text between the tags
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'")
	require.NotContains(t, w.Body.String(), "<script")
	require.NotContains(t, w.Body.String(), "style=")
	require.NotContains(t, w.Header().Get("Referrer-Policy"), "no-referrer", "the form would come with Origin: null (WHATWG Fetch, Origin header)")
}

func TestURLsCarryTheCode(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.Pair, c.Code = true, testCode })
	require.Empty(t, s.URL(), "nobody listens yet")
	addr, err := s.Listen()
	require.NoError(t, err)
	again, err := s.Listen()
	require.NoError(t, err)
	require.Equal(t, addr, again)
	require.Equal(t, fmt.Sprintf("http://%s/?code=%s", addr, testCode), s.URL())
	stopListening(t, s)

	plain := newServer(t, newFake())
	addr, err = plain.Listen()
	require.NoError(t, err)
	require.Equal(t, "http://"+addr.String(), plain.URL())
	taken := newServer(t, newFake(), func(c *server.Config) { c.Listen = addr.String() })
	_, err = taken.Listen()
	require.ErrorContains(t, err, "--listen")
	stopListening(t, plain)
}
