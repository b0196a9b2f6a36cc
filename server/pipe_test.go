package server_test

import (
	"context"
	"errors"
	"net"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

// pipeListener accepts in-memory connections. They have no buffer, so that
// whoever does not read is noticed at once, and they obey synctest's clock.
type pipeListener struct {
	conns  chan net.Conn
	closed chan struct{}
	once   sync.Once
}

func newPipeListener() *pipeListener {
	return &pipeListener{conns: make(chan net.Conn), closed: make(chan struct{})}
}

func (l *pipeListener) Accept() (net.Conn, error) {
	select {
	case c := <-l.conns:
		return c, nil
	case <-l.closed:
		return nil, net.ErrClosed
	}
}

func (l *pipeListener) Close() error {
	l.once.Do(func() { close(l.closed) })
	return nil
}

func (l *pipeListener) Addr() net.Addr { return pipeAddr{} }

type pipeAddr struct{}

func (pipeAddr) Network() string { return "pipe" }
func (pipeAddr) String() string  { return "127.0.0.1:4040" }

func (l *pipeListener) dial() (net.Conn, error) {
	here, there := net.Pipe()
	select {
	case l.conns <- there:
		return here, nil
	case <-l.closed:
		return nil, errors.New("nobody listens")
	}
}

// runOn runs s on an in-memory listener; stop ends it and waits, and so does
// the end of the test.
func runOn(t testing.TB, s *server.Server) (l *pipeListener, stop func()) {
	t.Helper()
	l = newPipeListener()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, l) }()
	var once sync.Once
	stop = func() {
		once.Do(func() {
			cancel()
			require.NoError(t, <-ended)
		})
	}
	t.Cleanup(stop)
	return l, stop
}

// stopListening ends a server that only listens.
func stopListening(t testing.TB, s *server.Server) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	cancel()
	require.NoError(t, s.Run(ctx))
}
