package server_test

import (
	"context"
	"net"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
	"linkboy/server/osc"
)

// oscLink is a program that speaks to the door.
type oscLink struct {
	t    *testing.T
	conn *net.UDPConn
}

func openOSC(t *testing.T, s *server.Server) oscLink {
	t.Helper()
	door, err := s.OpenOSC("127.0.0.1:0")
	require.NoError(t, err)
	require.False(t, door.Open())
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- door.Run(ctx) }()
	conn, err := net.DialUDP("udp", nil, door.Addr().(*net.UDPAddr))
	require.NoError(t, err)
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-ended)
		_ = conn.Close()
	})
	return oscLink{t, conn}
}

func (l oscLink) send(p osc.Packet) {
	l.t.Helper()
	b, err := p.Append(nil)
	require.NoError(l.t, err)
	_, err = l.conn.Write(b)
	require.NoError(l.t, err)
}

func (l oscLink) hear() *osc.Message {
	l.t.Helper()
	b := make([]byte, 4096)
	require.NoError(l.t, l.conn.SetReadDeadline(time.Now().Add(10*time.Second)))
	n, err := l.conn.Read(b)
	require.NoError(l.t, err)
	p, err := osc.Parse(b[:n])
	require.NoError(l.t, err)
	return p.(*osc.Message)
}

func (l oscLink) ask(address string, args ...any) *osc.Message {
	l.t.Helper()
	l.send(&osc.Message{Address: address, Args: args})
	return l.hear()
}

func TestOSCReachesTheDirector(t *testing.T) {
	d := newFake()
	d.state.Standby = &session.Standby{Cue: 2, Look: "tide"}
	l := openOSC(t, newServer(t, d))
	const cue = " fade= delay= curve= path= spread= at=-"
	for _, row := range []struct {
		address string
		args    []any
		want    string
	}{
		{"/linkboy/run", nil, "cue #2" + cue},
		{"/linkboy/run", []any{float32(1)}, "cue #2" + cue},
		{"/linkboy/cue", []any{int32(3)}, "cue #3" + cue},
		{"/linkboy/cue", []any{float32(3)}, "cue #3" + cue},
		{"/linkboy/cue", []any{"3"}, "cue #3" + cue},
		{"/linkboy/cue", []any{"tide", "4 s"}, "cue tide fade=4 s delay= curve= path= spread= at=-"},
		{"/linkboy/count", []any{"4 beats"}, "cue #2" + cue + " in=4 beats"},
		{"/linkboy/count", []any{int32(4), "5 s"}, "cue #4" + cue + " in=5 s"},
		{"/linkboy/standby", []any{int64(4)}, "standby #4"},
		{"/linkboy/hold", nil, "hold"},
		{"/linkboy/snap", []any{int32(1)}, "snap"},
		{"/linkboy/back", []any{true}, "back"},
		{"/linkboy/ride", []any{float32(0.1)}, "ride 0.1"},
		{"/linkboy/overall", []any{float32(0.8)}, "overall 80%"},
		{"/linkboy/worklight", nil, "worklight other"},
		{"/linkboy/worklight", []any{false}, "worklight false"},
		{"/linkboy/kill", []any{float32(1)}, "kill true"},
		{"/linkboy/kill", []any{false}, "kill false"},
		{"/linkboy/dry", []any{int32(1)}, "dry true"},
		{"/linkboy/location", []any{osc.Symbol("pump-room")}, "location pump-room"},
		{"/linkboy/tempo", []any{float32(97.5), int32(3)}, "tempo bpm=97.5 taps=[] beats=3 written=false"},
		{"/linkboy/timecode", []any{true, "01:00:00:00"}, "timecode run=true at=01:00:00:00"},
	} {
		require.Equal(t, &osc.Message{Address: "/linkboy/accepted", Args: []any{row.address}}, l.ask(row.address, row.args...), "%s %v", row.address, row.args)
		require.Equal(t, []string{row.want}, d.verbs())
		require.Equal(t, "osc", d.by().Source)
		require.Equal(t, "127.0.0.1", d.by().From)
	}
	require.Equal(t, &osc.Message{Address: "/linkboy/is", Args: []any{"deep-end", "tide", int32(2), "tide", float32(1), true, false, false, false}}, l.ask("/linkboy/state"))
}

func TestOSCRefuses(t *testing.T) {
	d := newFake()
	l := openOSC(t, newServer(t, d))
	for _, row := range []struct {
		address string
		args    []any
		code    string
		mends   string
	}{
		{"/linkboy/cue", nil, "bad-value", "a number of the sheet or a look"},
		{"/linkboy/cue", []any{int32(0)}, "bad-value", ""},
		{"/linkboy/cue", []any{"nobody"}, "unknown-look", `write "tide"`},
		{"/linkboy/ride", []any{float32(2)}, "bad-value", ""},
		{"/linkboy/ride", []any{"half"}, "bad-value", "0 to 1"},
		{"/linkboy/resume", nil, "not-held", ""},
		{"/linkboy/bak", nil, "no-such-path", "/linkboy/back"},
		{"/linkboy/*", nil, "no-such-path", "patterns are refused"},
		{"/other", nil, "no-such-path", ""},
	} {
		got := l.ask(row.address, row.args...)
		require.Equal(t, "/linkboy/refused", got.Address, row.address)
		require.Equal(t, row.address, got.Args[0])
		require.Equal(t, row.code, got.Args[1], "%v", got)
		require.NotEmpty(t, got.Args[2])
		require.Contains(t, got.Args[3], row.mends)
	}
	require.Empty(t, d.verbs())
	_, err := l.conn.Write([]byte("/ab\x00,i\x00\x00"))
	require.NoError(t, err)
	require.Equal(t, "bad-osc", l.hear().Args[1])
}

// TestOSCIsSilent: nothing is asked by a button that is let go, and answers and what is no OSC
// get no answer, so that no two programs answer each other without end.
func TestOSCIsSilent(t *testing.T) {
	d := newFake()
	l := openOSC(t, newServer(t, d))
	for _, m := range []*osc.Message{
		{Address: "/linkboy/back", Args: []any{float32(0)}}, {Address: "/linkboy/kill", Args: []any{int32(0)}}, {Address: "/linkboy/hold", Args: []any{false}},
		{Address: "/linkboy/accepted", Args: []any{"/x"}}, {Address: "/linkboy/refused"}, {Address: "/linkboy/is"},
	} {
		l.send(m)
	}
	_, err := l.conn.Write([]byte("Art-Net\x00"))
	require.NoError(t, err)
	require.Equal(t, "/linkboy/is", l.ask("/linkboy/state").Address, "the first answer is to the last question")
	require.Empty(t, d.verbs())
}

// TestOSCBundles: OSC 1.0, "Temporal Semantics and OSC Time Tags": what is at once or past
// runs at once, in its order.
func TestOSCBundles(t *testing.T) {
	d := newFake()
	l := openOSC(t, newServer(t, d))
	two := []osc.Packet{&osc.Message{Address: "/linkboy/hold"}, &osc.Message{Address: "/linkboy/snap"}}
	for _, at := range []osc.TimeTag{osc.Immediately, 0, osc.TagOf(time.Now().Add(-time.Hour)), osc.TagOf(time.Now())} {
		l.send(&osc.Bundle{Time: at, Elements: two})
		require.Equal(t, "/linkboy/hold", l.hear().Args[0])
		require.Equal(t, "/linkboy/snap", l.hear().Args[0])
		require.Equal(t, []string{"hold", "snap"}, d.verbs())
	}
	l.send(&osc.Bundle{Time: osc.TagOf(time.Now().Add(time.Minute)), Elements: two})
	require.Equal(t, []any{"#bundle", "time-tag"}, l.hear().Args[:2])
	require.Empty(t, d.verbs())
}

func TestOSCAddress(t *testing.T) {
	s := newServer(t, newFake())
	for _, address := range []string{"9000", ":9000", "127.0.0.1", "127.0.0.1:port", "192.0.2.1:9000"} {
		_, err := s.OpenOSC(address)
		require.ErrorContains(t, err, "cannot listen for OSC", address)
	}
	door, err := s.OpenOSC("0.0.0.0:0")
	require.NoError(t, err)
	require.True(t, door.Open())
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.NoError(t, door.Run(ctx))
}
