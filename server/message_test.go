package server_test

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/server"
)

func TestParseMessage(t *testing.T) {
	m, err := server.ParseMessage([]byte(` {"verb": "cue", "id": 7, "look": "t\u0069de", "at": 0.5} `))
	require.NoError(t, err)
	require.Equal(t, "7", m.ID)
	require.Equal(t, "cue", m.Verb)
	require.Equal(t, []string{"verb", "id", "look", "at"}, m.Names)
	require.Equal(t, json.RawMessage(`"t\u0069de"`), m.Values["look"])
}

// FuzzMessage: what is read is what encoding/json reads, and written down and
// read again it is the same.
func FuzzMessage(f *testing.F) {
	for _, seed := range []string{
		`{"id": 1, "verb": "cue", "look": "tide", "fade": "4 s", "at": 0.5}`,
		`{"verb":"hold"}`, `{"id": null, "verb": "kill", "on": false}`,
		`{"id": 9007199254740993, "verb": "cue", "cue": 3}`, // beyond the whole numbers of a float64
		`{"verb": "cue", "verb": "kill"}`,                   // doubled
		`{"verb": "\ud800"}`,                                // half a surrogate pair (RFC 8259 8.2)
		`{"": {"a": [1, 2, {"b": null}]}, "verb": "x"}`,     // no name, deep value
		`{"verb": "hold"} x`, `{"verb": "hold"`, `[]`, `"x"`, `null`, "\xff", "\xef\xbb\xbf{}", ``,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := server.ParseMessage(text)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		var reference map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(text, &reference), "read what encoding/json refuses")
		require.Len(t, m.Names, len(reference))
		for _, name := range m.Names {
			require.Equal(t, string(reference[name]), string(m.Values[name]))
		}
		if m.ID != "" {
			var n int64
			require.NoError(t, json.Unmarshal([]byte(m.ID), &n))
		}
		again, err := server.AppendMessage(nil, m)
		require.NoError(t, err)
		m2, err := server.ParseMessage(again)
		require.NoError(t, err, "%s", again)
		require.Equal(t, m, m2)
	})
}

// FuzzBody: whatever is posted, the answer is JSON with a status of the
// contract, and only a request in order reaches the director.
func FuzzBody(f *testing.F) {
	f.Add("cue", []byte(`{"look": "tide", "at": 0.5}`))
	f.Add("ride", []byte(`{"at": 1e-400}`))
	f.Add("overall", []byte(`{"level": "80%"}`))
	f.Add("dry", []byte(`{"on": tru}`))
	f.Add("pair", []byte(`{"code": "x"}`))
	d := newFake()
	s := newServer(f, d)
	f.Fuzz(func(t *testing.T, verb string, body []byte) {
		if _, isPost := s.Routes()["/api/"+verb]; !isPost {
			return
		}
		w := post(s, "/api/"+verb, string(body))
		require.Contains(t, []int{200, 400, 404, 405, 409, 413, 415}, w.Code)
		require.True(t, json.Valid(w.Body.Bytes()))
		done := d.verbs()
		if w.Code != 200 {
			problemOf(t, w)
			require.Empty(t, done)
		} else {
			require.Len(t, done, 1)
		}
	})
}

func TestCellsFrameByteForByte(t *testing.T) {
	got := server.AppendCells(nil, 0x01020304, 0x1122334455667788, []colour.XYZ{{X: 1, Y: -2, Z: 0.5}})
	require.Equal(t, []byte{
		1, 0, // kind, pad
		1, 0, // one cell
		0x04, 0x03, 0x02, 0x01, // plan revision
		0x88, 0x77, 0x66, 0x55, 0x44, 0x33, 0x22, 0x11, // frame number
		0x00, 0x00, 0x80, 0x3f, // 1.0 in IEEE 754 binary32
		0x00, 0x00, 0x00, 0xc0, // -2.0
		0x00, 0x00, 0x00, 0x3f, // 0.5
	}, got)
	many := server.AppendCells(nil, 1, 1, make([]colour.XYZ, math.MaxUint16+5))
	require.Len(t, many, 16+12*math.MaxUint16, "no more than the count can say")
	require.True(t, bytes.HasPrefix(many, []byte{1, 0, 0xff, 0xff}))
}
