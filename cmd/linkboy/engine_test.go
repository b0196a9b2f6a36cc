package main

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// engine is a browser of another kind than the one that the other tests drive, as the two
// open standards for it have it: W3C WebDriver, and W3C WebDriver BiDi.
type engine interface {
	// open loads a page in a window about as large as a phone.
	open(t testing.TB, url string)
	// eval gives the value of an expression, as JSON.
	eval(t testing.TB, expression string) json.RawMessage
	// act does what a pointer does.
	act(t testing.TB, actions any)
	// screenshot is nil where the engine cannot take one here.
	screenshot(t testing.TB) []byte
	// faults are what scripts of the page threw, where the engine tells.
	faults() []string
}

// background starts a program that ends with the test.
func background(t testing.TB, env []string, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), env...)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
}

// freePort is a TCP port of this machine that nobody had a moment ago.
func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// gecko speaks WebDriver BiDi with Firefox.
type gecko struct {
	conn   *websocket.Conn
	id     int
	tab    string
	thrown []string
}

// quiet keeps a Firefox from calling its makers, who cannot be reached here.
const quiet = `user_pref("app.update.enabled", false);
user_pref("services.settings.server", "data:,#nobody/v1");
user_pref("toolkit.telemetry.unified", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("remote.prefs.recommended", true);
`

func newGecko(t testing.TB) engine {
	t.Helper()
	firefox := outside.Tool(t, "firefox-esr")
	profile, port := t.TempDir(), freePort(t)
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user.js"), []byte(quiet), 0o600))
	background(t, []string{"HOME=" + profile}, firefox, "--headless", "--no-remote", "--profile", profile, fmt.Sprintf("--remote-debugging-port=%d", port), "about:blank")
	g := &gecko{}
	outside.Await(t, "Firefox listens", func() bool {
		var err error
		g.conn, _, err = websocket.DefaultDialer.Dial(fmt.Sprintf("ws://127.0.0.1:%d/session", port), nil)
		return err == nil
	})
	t.Cleanup(func() { _ = g.conn.Close() })
	g.ask(t, "session.new", map[string]any{"capabilities": map[string]any{}})
	g.ask(t, "session.subscribe", map[string]any{"events": []string{"log.entryAdded"}})
	var tree struct{ Contexts []struct{ Context string } }
	require.NoError(t, json.Unmarshal(g.ask(t, "browsingContext.getTree", map[string]any{}), &tree))
	g.tab = tree.Contexts[0].Context
	return g
}

// ask gives a command and waits for its answer; events that come meanwhile are noted.
func (g *gecko) ask(t testing.TB, method string, params any) json.RawMessage {
	t.Helper()
	g.id++
	require.NoError(t, g.conn.WriteJSON(map[string]any{"id": g.id, "method": method, "params": params}))
	for {
		var m struct {
			ID             int
			Type, Method   string
			Error, Message string
			Result, Params json.RawMessage
		}
		require.NoError(t, g.conn.SetReadDeadline(time.Now().Add(outside.Patience)))
		require.NoError(t, g.conn.ReadJSON(&m))
		switch {
		case m.Method == "log.entryAdded":
			var entry struct{ Level, Type, Text string }
			require.NoError(t, json.Unmarshal(m.Params, &entry))
			if entry.Level == "error" && entry.Type == "javascript" {
				g.thrown = append(g.thrown, entry.Text)
			}
		case m.ID == g.id:
			require.Equal(t, "success", m.Type, "%s: %s %s", method, m.Error, m.Message)
			return m.Result
		}
	}
}

func (g *gecko) open(t testing.TB, url string) {
	g.ask(t, "browsingContext.setViewport", map[string]any{"context": g.tab, "viewport": map[string]int{"width": 360, "height": 740}})
	g.ask(t, "browsingContext.navigate", map[string]any{"context": g.tab, "url": url, "wait": "complete"})
}

func (g *gecko) eval(t testing.TB, expression string) json.RawMessage {
	t.Helper()
	var r struct {
		Type             string
		Result           struct{ Value string }
		ExceptionDetails struct{ Text string }
	}
	require.NoError(t, json.Unmarshal(g.ask(t, "script.evaluate", map[string]any{
		"expression": "JSON.stringify(" + expression + ") ?? 'null'", "target": map[string]string{"context": g.tab}, "awaitPromise": true,
	}), &r))
	require.Equal(t, "success", r.Type, "%s: %s", expression, r.ExceptionDetails.Text)
	return json.RawMessage(r.Result.Value)
}

func (g *gecko) act(t testing.TB, actions any) {
	g.ask(t, "input.performActions", map[string]any{"context": g.tab, "actions": actions})
}

func (g *gecko) screenshot(t testing.TB) []byte {
	var r struct{ Data string }
	require.NoError(t, json.Unmarshal(g.ask(t, "browsingContext.captureScreenshot", map[string]any{"context": g.tab}), &r))
	return unpacked(t, r.Data)
}

func (g *gecko) faults() []string { return g.thrown }

// webkit speaks WebDriver with WebKitGTK. Its compositor of layers ends now and then in a trap
// where there is no graphics card, but a picture of the page never comes without it: it is on
// where LINKBOY_COMPOSES is set.
type webkit struct {
	session  string
	composes bool
}

func newWebKit(t testing.TB) engine {
	t.Helper()
	driver, server := outside.Tool(t, "WebKitWebDriver"), outside.Tool(t, "Xvfb")
	browsers, err := filepath.Glob("/usr/lib/*/webkit2gtk-4.*/MiniBrowser")
	require.NoError(t, err)
	require.NotEmpty(t, browsers)
	port, display := freePort(t), fmt.Sprintf(":%d", 40+os.Getpid()%1000)
	background(t, nil, server, display, "-screen", "0", "500x900x24", "-nolisten", "tcp")
	surroundings := []string{"DISPLAY=" + display, "LIBGL_ALWAYS_SOFTWARE=1"}
	composes := os.Getenv("LINKBOY_COMPOSES") != ""
	if !composes {
		surroundings = append(surroundings, "WEBKIT_DISABLE_COMPOSITING_MODE=1")
	}
	background(t, surroundings, driver, fmt.Sprintf("--port=%d", port))
	w := &webkit{session: fmt.Sprintf("http://127.0.0.1:%d/session", port), composes: composes}
	options := map[string]any{"binary": browsers[0], "args": []string{"--automation"}}
	capabilities := map[string]any{"alwaysMatch": map[string]any{"browserName": "MiniBrowser", "webkitgtk:browserOptions": options}}
	var made struct{ SessionID string }
	outside.Await(t, "WebKit is there", func() bool {
		value, err := w.tell(http.MethodPost, "", map[string]any{"capabilities": capabilities})
		return err == nil && json.Unmarshal(value, &made) == nil && made.SessionID != ""
	})
	w.session += "/" + made.SessionID
	t.Cleanup(func() { _, _ = w.tell(http.MethodDelete, "", nil) })
	return w
}

// tell sends a command and gives the value of its answer.
func (w *webkit) tell(method, path string, body any) (json.RawMessage, error) {
	text, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	req, err := http.NewRequest(method, w.session+path, bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	var answer struct{ Value json.RawMessage }
	if err := json.NewDecoder(res.Body).Decode(&answer); err != nil {
		return nil, err
	}
	if res.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("%s: %s", path, answer.Value)
	}
	return answer.Value, nil
}

func (w *webkit) post(t testing.TB, path string, body any) json.RawMessage {
	t.Helper()
	value, err := w.tell(http.MethodPost, path, body)
	require.NoError(t, err)
	return value
}

func (w *webkit) open(t testing.TB, url string) {
	w.post(t, "/window/rect", map[string]int{"x": 0, "y": 0, "width": 400, "height": 840})
	w.post(t, "/url", map[string]string{"url": url})
}

func (w *webkit) eval(t testing.TB, expression string) json.RawMessage {
	t.Helper()
	var text string
	value := w.post(t, "/execute/sync", map[string]any{"script": "return JSON.stringify(" + expression + ") ?? 'null';", "args": []any{}})
	require.NoError(t, json.Unmarshal(value, &text))
	return json.RawMessage(text)
}

func (w *webkit) act(t testing.TB, actions any) {
	w.post(t, "/actions", map[string]any{"actions": actions})
}

func (w *webkit) screenshot(t testing.TB) []byte {
	if !w.composes {
		return nil
	}
	value, err := w.tell(http.MethodGet, "/screenshot", nil)
	require.NoError(t, err)
	return unpacked(t, strings.Trim(string(value), `"`))
}

func (w *webkit) faults() []string { return nil }

func unpacked(t testing.TB, text string) []byte {
	t.Helper()
	data, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	return data
}
