package server_test

import (
	"context"
	"io"
	"net"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues/session"
	"linkboy/server"
)

// These tests go over real sockets of this machine.

// runReal runs s on its own listener; stop ends it, waits, and looks for
// goroutines that it has left behind.
func runReal(t testing.TB, s *server.Server) (address string, stop func()) {
	t.Helper()
	addr, err := s.Listen()
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	var once sync.Once
	stop = func() {
		once.Do(func() {
			cancel()
			require.NoError(t, <-ended)
			requireNoneLeft(t)
		})
	}
	t.Cleanup(stop)
	return addr.String(), stop
}

// requireNoneLeft fails when goroutines of the server live on. One that has
// just reported its end may still be on its way out.
func requireNoneLeft(t testing.TB) {
	t.Helper()
	for start := time.Now(); len(serverGoroutines()) > 0; runtime.Gosched() {
		if time.Since(start) > 10*time.Second {
			require.FailNow(t, "goroutines left behind", "%s", strings.Join(serverGoroutines(), "\n\n"))
		}
	}
}

// serverGoroutines gives the stacks that run code of the server.
func serverGoroutines() (left []string) {
	all := make([]byte, 1<<20)
	all = all[:runtime.Stack(all, true)]
	for _, stack := range strings.Split(string(all), "\n\n") {
		if strings.Contains(stack, "linkboy/server.") {
			left = append(left, stack)
		}
	}
	return left
}

func dialer(address string) func() (net.Conn, error) {
	return func() (net.Conn, error) { return net.Dial("tcp", address) }
}

func TestPagesOverLoopback(t *testing.T) {
	d := newFake()
	address, stop := runReal(t, newServer(t, d))
	a, b := openPage(t, dialer(address), nil), openPage(t, dialer(address), nil)
	a.await("first state", isState)
	b.await("first state", isState)
	a.send(`{"id": 1, "verb": "cue", "look": "tide"}`)
	require.True(t, a.answer(1).wire.OK)
	for _, p := range []*testPageLink{a, b} {
		p.await("the change", func(h heard) bool { return isState(h) && h.wire.State.Look == "tide" })
	}
	require.NotEmpty(t, serverGoroutines(), "the check for leaks sees nothing at all")

	answer, err := http.Post("http://"+address+"/api/overall", "application/json", strings.NewReader(`{"level": "50%"}`))
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusOK, answer.StatusCode, string(text))
	require.Equal(t, []string{"cue tide fade= delay= curve= path= spread= at=-", "overall 50%"}, d.verbs())
	stop()
	require.Equal(t, websocket.CloseGoingAway, a.closed())
	require.Equal(t, websocket.CloseGoingAway, b.closed())
}

func TestForeignPageGetsNoWebsocket(t *testing.T) {
	address, _ := runReal(t, newServer(t, newFake()))
	_, answer, err := websocket.DefaultDialer.Dial("ws://"+address+"/ws", http.Header{"Origin": {"http://evil.example"}})
	require.ErrorIs(t, err, websocket.ErrBadHandshake)
	require.Equal(t, http.StatusForbidden, answer.StatusCode)
	own := openPage(t, dialer(address), http.Header{"Origin": {"http://127.0.0.1:4040"}})
	own.await("first state", isState)
}

func TestPairedPageOverLoopback(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.Pair = true })
	address, _ := runReal(t, s)
	_, answer, err := websocket.DefaultDialer.Dial("ws://"+address+"/ws", nil)
	require.ErrorIs(t, err, websocket.ErrBadHandshake)
	require.Equal(t, http.StatusUnauthorized, answer.StatusCode)

	unfollowed := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err = unfollowed.Get(s.URL())
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusSeeOther, answer.StatusCode)
	require.Len(t, answer.Cookies(), 1)
	cookie := answer.Cookies()[0]
	_, port, err := net.SplitHostPort(address)
	require.NoError(t, err)
	require.Equal(t, "linkboy-"+port, cookie.Name, "two daemons of one machine keep apart")
	page := openPage(t, dialer(address), http.Header{"Cookie": {cookie.Name + "=" + cookie.Value}})
	page.await("first state", isState)
}

// A page that never reads fills the buffers of both systems first; only then
// can it be told from a page that is merely behind.
func TestSlowReaderOverLoopback(t *testing.T) {
	d := newFake()
	d.cells = make([]colour.XYZ, 20_000) // 240 kB a frame
	d.state.Fade = &session.Fade{}
	s := newServer(t, d)
	s.SetWriteWait(200 * time.Millisecond)
	address, _ := runReal(t, s)
	good := openPage(t, dialer(address), nil)
	good.await("first state", isState)
	dialWebsocket(t, dialer(address), nil) // never reads
	cut := func() bool {
		return strings.Contains(metricsOf(t, address), `linkboy_ws_cut_total{reason="slow reader"} 1`)
	}
	for y := 1.0; !cut(); y++ {
		d.light(y)
		good.await("light of the newest frame", func(h heard) bool {
			if !h.binary {
				return false
			}
			_, _, cells := readCells(t, h.text)
			return cells[0][1] == float32(y)
		})
	}
	require.Contains(t, metricsOf(t, address), "linkboy_ws_clients 1\n")
}

func metricsOf(t testing.TB, address string) string {
	answer, err := http.Get("http://" + address + "/metrics")
	require.NoError(t, err)
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return string(text)
}

func TestTooLargeAMessageOverLoopback(t *testing.T) {
	d := newFake()
	address, _ := runReal(t, newServer(t, d))
	p := openPage(t, dialer(address), nil)
	p.await("first state", isState)
	// Fails when the daemon has closed the link before all is sent.
	_ = p.conn.WriteMessage(websocket.TextMessage, []byte(`{"verb": "kill", "x": "`+strings.Repeat("x", 4<<20)+`"}`))
	require.Equal(t, websocket.CloseMessageTooBig, p.closed(), "the page is told why")
	require.Empty(t, d.verbs())
}

// Bytes that are no HTTP, and websocket frames that RFC 6455 5.2 forbids.
func TestGarbageOnTheSocket(t *testing.T) {
	d := newFake()
	address, _ := runReal(t, newServer(t, d))
	for name, garbage := range map[string]string{
		"no HTTP":               "\x00\x01\x02\x03\r\n\r\n",
		"HTTP of another kind":  "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
		"a request in TLS":      "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
		"no Host":               "GET / HTTP/1.1\r\n\r\n",
		"two Hosts":             "GET / HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n\r\n",
		"a length of two minds": "POST /api/kill HTTP/1.1\r\nHost: localhost\r\nContent-Length: 0\r\nContent-Length: 2\r\n\r\n{}",
	} {
		conn, err := net.Dial("tcp", address)
		require.NoError(t, err)
		_, err = io.WriteString(conn, garbage)
		require.NoError(t, err)
		require.NoError(t, conn.(*net.TCPConn).CloseWrite())
		answer, _ := io.ReadAll(conn) // a reset is as good as an answer
		require.NotContains(t, string(answer), "HTTP/1.1 200", name)
		require.NoError(t, conn.Close())
	}
	for name, frame := range map[string][]byte{
		"not masked":           {0x81, 2, '{', '}'},
		"reserved bits":        {0xf1, 0x80, 0, 0, 0, 0},
		"an unknown opcode":    {0x83, 0x80, 0, 0, 0, 0},
		"a long ping":          {0x89, 0xfe, 0x01, 0x00, 0, 0, 0, 0},
		"a length of 2^63":     {0x81, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0},
		"a close of one byte":  {0x88, 0x81, 0, 0, 0, 0, 1},
		"a stray continuation": {0x80, 0x80, 0, 0, 0, 0},
	} {
		p := openPage(t, dialer(address), nil)
		p.await("first state", isState)
		_, err := p.conn.NetConn().Write(frame)
		require.NoError(t, err, name)
		p.closed() // with one code or another
	}
	require.Empty(t, d.verbs())
	openPage(t, dialer(address), nil).await("first state", isState)
}
