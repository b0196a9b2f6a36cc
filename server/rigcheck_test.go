package server_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// fakeRig writes down what is to be set.
type fakeRig struct {
	done []string
	fail error
}

func (r *fakeRig) Check() server.RigCheck {
	return server.RigCheck{Location: "deep-end", Devices: 2, Rows: []server.RigRow{
		{Place: "lane-1", Lamp: "T1", Right: true, Findings: []server.RigFinding{{Kind: "right", What: "0:0:1.001"}}},
		{Place: "moon", Lamp: "S1", UID: "7FF1:00000002", By: "model", Findings: []server.RigFinding{{Kind: "wrong-address", What: "it starts at slot 1, set 441"}}, Change: &server.RigChange{Address: 441}},
		{UID: "7FF1:00000009", Findings: []server.RigFinding{{Kind: "unknown-device", What: "a dimmer", Mend: "look"}}},
	}}
}

func (r *fakeRig) Apply(ctx context.Context, places []string) (server.RigCheck, error) {
	_, limited := ctx.Deadline()
	r.done = append(r.done, fmt.Sprintf("%v limited=%t", places, limited))
	c := r.Check()
	c.Set = len(places)
	return c, r.fail
}

func TestRigCheckOverHTTP(t *testing.T) {
	rig, director := &fakeRig{}, newFake()
	s := newServer(t, director, func(c *server.Config) { c.RigCheck = rig })
	var check server.RigCheck
	require.NoError(t, json.Unmarshal(get(s, "/api/rigcheck").Body.Bytes(), &check))
	require.Equal(t, rig.Check(), check)
	require.Empty(t, rig.done, "to look sets nothing")

	w := post(s, "/api/rigcheck", `{"apply": ["moon"]}`)
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &check))
	require.Equal(t, 1, check.Set)
	require.Equal(t, []string{"[moon] limited=true"}, rig.done)

	for _, c := range []struct {
		body   string
		status int
		code   string
	}{
		{`{}`, 400, "missing-field"}, {`{"apply": []}`, 400, "missing-field"}, {`{"apply": "moon"}`, 400, "bad-value"},
		{`{"apply": ["mon"]}`, 404, "unknown-lamp"}, {`{"aply": ["moon"]}`, 400, "unknown-field"}, {`{`, 400, "bad-json"},
	} {
		w := post(s, "/api/rigcheck", c.body)
		require.Equal(t, c.status, w.Code, c.body)
		code, _, _, mend := problemOf(t, w)
		require.Equal(t, c.code, code, c.body)
		require.NotEmpty(t, mend)
	}
	director.change(func(st *session.State) { st.Hot = true })
	code, _, _, _ := problemOf(t, post(s, "/api/rigcheck", `{"apply": ["moon"]}`))
	require.Equal(t, "hot-set", code, "nobody's take is disturbed")
	require.Len(t, rig.done, 1)

	none := newServer(t, newFake())
	require.Equal(t, http.StatusConflict, get(none, "/api/rigcheck").Code)
	require.Equal(t, http.StatusConflict, post(none, "/api/rigcheck", `{"apply": ["moon"]}`).Code)
}
