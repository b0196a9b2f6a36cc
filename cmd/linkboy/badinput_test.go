package main

import (
	"crypto/sha256"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// fingerprint is a hash of the show in a folder, without what a daemon keeps beside it.
func fingerprint(t *testing.T, dir string) [sha256.Size]byte {
	t.Helper()
	hash := sha256.New()
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".yaml" {
			return err // what a daemon keeps beside the show comes as it runs
		}
		data, err := os.ReadFile(path)
		hash.Write([]byte(path))
		hash.Write(data)
		return err
	}))
	return [sha256.Size]byte(hash.Sum(nil))
}

// TestBadInput throws at a running daemon what a set at night throws: wrong
// words, broken messages, garbage on the wire. Each gets an error with its
// mend where there is someone to tell; output goes on and the show stays.
func TestBadInput(t *testing.T) {
	s := newStage(t, 97)
	before := fingerprint(t, s.show)
	s.do("cue", `{"look": "tide", "fade": "0 s"}`)
	tide := s.settled()

	for _, tt := range []struct {
		name, verb, body string
		status           int
		says             string
	}{
		{"unknown look", "cue", `{"look": "tied"}`, http.StatusNotFound, `tide`},
		{"unknown cue", "cue", `{"cue": 99}`, http.StatusNotFound, `mend`},
		{"negative time", "cue", `{"look": "tide", "fade": "-4 s"}`, http.StatusBadRequest, `negative`},
		{"no unit", "cue", `{"look": "tide", "fade": "4"}`, http.StatusBadRequest, `mend`},
		{"unknown field", "cue", `{"lok": "tide"}`, http.StatusBadRequest, `look`},
		{"not JSON", "cue", `{"look": `, http.StatusBadRequest, `mend`},
		{"two documents", "cue", `{"look": "tide"} {}`, http.StatusBadRequest, `mend`},
		{"level over full", "overall", `{"level": "180%"}`, http.StatusBadRequest, `mend`},
		{"unknown location", "location", `{"name": "deepend"}`, http.StatusNotFound, `deep-end`},
		{"too large", "cue", `{"look": "` + strings.Repeat("x", 1<<20) + `"}`, http.StatusRequestEntityTooLarge, `mend`},
		{"unknown verb", "cu", `{}`, http.StatusNotFound, `mend`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			status, body := s.post(tt.verb, tt.body)
			require.Equal(t, tt.status, status, body)
			require.Contains(t, body, tt.says)
			require.Contains(t, body, `"error"`)
		})
	}

	t.Run("websocket", func(t *testing.T) { badMessages(t, s.url) })
	t.Run("garbage on the lamps' network", func(t *testing.T) { badDatagrams(t, s.bind) })

	frames := s.state().Output.Frames
	outside.Await(t, "frames go on", func() bool { return s.state().Output.Frames > frames+44 })
	require.Equal(t, tide, s.settled(), "what was on is still on")
	require.Equal(t, "tide", s.state().Look)
	require.Zero(t, s.state().Output.SendErrors)
	require.Equal(t, before, fingerprint(t, s.show), "the show on disk")
	s.do("cue", `{"look": "warden", "fade": "0 s"}`)
	require.NotEqual(t, tide, s.settled(), "the next good cue works")
}

// badMessages: malformed messages are answered, huge ones end the link.
func badMessages(t *testing.T, url string) {
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(url, "http")+"/ws", nil)
	require.NoError(t, err)
	defer conn.Close()
	for _, text := range []string{`{`, `[]`, `{"id": 1}`, `{"id": 2, "verb": "cue", "look": 7}`, `{"id": 3, "verb": "nonsense"}`, `{"id": 4, "verb": "cue", "look": "nowhere"}`} {
		require.NoError(t, conn.WriteMessage(websocket.TextMessage, []byte(text)))
		outside.Await(t, text, func() bool {
			kind, answer, err := conn.ReadMessage()
			require.NoError(t, err, text)
			return kind == websocket.TextMessage && strings.Contains(string(answer), `"error"`) && strings.Contains(string(answer), `"mend"`)
		})
	}
	_ = conn.WriteMessage(websocket.TextMessage, make([]byte, 4<<20))
	outside.Await(t, "a huge message ends that link", func() bool {
		_, _, err := conn.ReadMessage()
		return err != nil
	})
}

// badDatagrams sends broken Art-Net to the controller.
func badDatagrams(t *testing.T, to string) {
	conn, err := net.Dial("udp4", net.JoinHostPort(to, "6454"))
	require.NoError(t, err)
	defer conn.Close()
	for _, b := range []string{
		"", "x", "Art-Net", "Art-Net\x00", "Art-Net\x00\x00\x21", "Art-Net\x00\x00\x50\x00\x0e\x01\x00\x01\x00\x02\xff",
		"Art-Net\x00\x00\x20\x00\x00", "Art-Net\x00\xff\xff\x00\x0e" + strings.Repeat("\xff", 500), strings.Repeat("\x00", 1400),
	} {
		_, err := conn.Write([]byte(b))
		require.NoError(t, err)
	}
}
