package main

import (
	"net"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/server/osc"
)

// TestOSCRunsACue: a message to the daemon changes the set, is answered, and is told of with
// its source.
func TestOSCRunsACue(t *testing.T) {
	d := startDaemon(t, "demo", "--dry", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.171", "--osc", "127.0.3.171:9173")
	conn, err := net.Dial("udp", "127.0.3.171:9173")
	require.NoError(t, err)
	defer conn.Close()
	b, err := (&osc.Message{Address: "/linkboy/cue", Args: []any{int32(3)}}).Append(nil)
	require.NoError(t, err)
	_, err = conn.Write(b)
	require.NoError(t, err)
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(outside.Patience)))
	answer := make([]byte, 1024)
	n, err := conn.Read(answer)
	require.NoError(t, err)
	p, err := osc.Parse(answer[:n])
	require.NoError(t, err)
	require.Equal(t, &osc.Message{Address: "/linkboy/accepted", Args: []any{"/linkboy/cue"}}, p)
	st := d.state()
	require.Equal(t, "tide", st.Look)
	require.Equal(t, "osc", st.Last.Source)
	require.Equal(t, "cue 3", st.Last.Command)
	require.NotEmpty(t, st.Last.From)
}
