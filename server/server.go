// Package server is the daemon's way to the outside: the page, the API, the
// websocket that pushes state, and the metrics. It knows who may do what; it
// does not know how light is computed.
package server

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/cues/session"
	"linkboy/cues/take"
	"linkboy/ui"
)

// Limits of the HTTP server. The page and its programs are on the same
// network: what takes longer hangs.
const (
	headerWait     = 5 * time.Second
	requestWait    = 10 * time.Second
	answerWait     = 30 * time.Second // a plan of thousands of cells over a weak link
	idleWait       = 2 * time.Minute
	maxHeaderBytes = 16 << 10
	stopWait       = 5 * time.Second // for answers under way when the daemon stops
)

// Config is what a server needs.
type Config struct {
	// Director runs the set. It must be there.
	Director Director
	// Nodes gives the nodes known now; nil when there is no discovery. It may
	// be called from any goroutine.
	Nodes func() []NodeInfo
	// Warnings says what is odd on the network, given the port-addresses that
	// the director fills; nil says nothing. It may be called from any goroutine.
	Warnings func(addresses []uint16) []session.Warning
	// Editor edits the show; nil where nobody does.
	Editor Editor
	// Files tells how the show on disk stands to what runs; nil where nobody reads it
	// again. It may be called from any goroutine.
	Files func() session.Files
	// Devices are the lamps that can be asked; nil for none.
	Devices Devices
	// RigCheck compares the plan with them; nil where nobody does.
	RigCheck RigChecker
	// Light gives the light that is computed so far; nil where nobody computes it.
	// It may be called from any goroutine and returns at once.
	Light func() Light
	// Takes are those that are written down; nil for none.
	Takes Takes
	// Photo makes a picture of a take of what came in, without what it tells of the
	// person and the place. Its error, if it is a *PhotoError, says what is wrong with it.
	Photo func(ctx context.Context, picture []byte) (take.Photo, error)
	// Meter reads the light; nil where nobody computes it.
	Meter Meter
	// Haze computes what haze gives a picture; nil where nobody does.
	Haze Haze
	// Stills draws looks small; nil where nobody does.
	Stills Stills
	// UI is the page; nil means the one that is built in.
	UI fs.FS
	// Listen is the address of the page; "" means 127.0.0.1:4040. Any address
	// beyond this machine needs pairing.
	Listen string
	// Pair asks for pairing on this machine too.
	Pair bool
	// Code is the pairing code: 8 letters and digits or more, whatever their
	// case. "" makes a new one at each start.
	Code string
	// Logger takes what no caller can be told; nil drops it.
	Logger *slog.Logger
	// Version is that of the daemon, for the metrics.
	Version string
}

// defaultListen is the address of the page unless another is given.
const defaultListen = "127.0.0.1:4040"

// Server serves one page and its API. It is safe for concurrent use.
type Server struct {
	cfg      Config
	director Director
	log      *slog.Logger
	plain    func() (*page, error) // as its files lie; read when it is first asked for
	page     atomic.Pointer[page]  // what is served; nil for that
	pairing  *pairing              // nil when nobody is asked for a code
	loopback bool                  // reached from this machine only
	hub      *hub
	metrics  *metrics
	pushes   pushPool
	ports    ports
	packed   packed
	// writeWait is the constant; tests of real sockets shorten it.
	writeWait time.Duration
	http      http.Handler
	started   time.Time

	mu       sync.Mutex
	listener net.Listener
}

// New makes a server. It listens to nobody yet.
func New(cfg Config) (*Server, error) {
	if cfg.Director == nil {
		return nil, errors.New("server: no director given")
	}
	if cfg.Listen == "" {
		cfg.Listen = defaultListen
	}
	if cfg.UI == nil {
		cfg.UI = ui.Files()
	}
	host, _, err := net.SplitHostPort(cfg.Listen)
	if err != nil {
		return nil, fmt.Errorf("cannot listen at %q: %w; give an address and a port, like 127.0.0.1:4040", cfg.Listen, err)
	}
	s := &Server{
		cfg: cfg, director: cfg.Director, log: cfg.Logger, loopback: isLoopback(host),
		hub: newHub(), writeWait: writeWait, started: time.Now(),
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if _, err := fs.Stat(cfg.UI, indexFile); err != nil {
		return nil, fmt.Errorf("page cannot be read: %w", err)
	}
	s.plain = sync.OnceValues(func() (*page, error) { return readPage(cfg.UI) }) // not before the first frame
	if cfg.Pair || !s.loopback {
		if s.pairing, err = newPairing(cfg.Code); err != nil {
			return nil, err
		}
	}
	s.metrics = newMetrics(s)
	s.http = s.handler()
	return s, nil
}

// ServeHTTP answers one request. State is pushed only while Run runs.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.http.ServeHTTP(w, r) }

// Listen opens the port. It may be called before Run, to know the address or
// that there is none to be had; a second call gives the same address.
func (s *Server) Listen() (net.Addr, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.listener != nil {
		return s.listener.Addr(), nil
	}
	l, err := net.Listen("tcp", s.cfg.Listen)
	if err != nil {
		return nil, fmt.Errorf("cannot listen at %s: %w; is another daemon running there? choose another with --listen", s.cfg.Listen, err)
	}
	if s.pairing != nil {
		s.pairing.usePort(portOf(l.Addr()))
	}
	s.listener = l
	return l.Addr(), nil
}

// Run serves until ctx ends, sends every page away, lets answers under way
// finish, and returns when all is still. A server runs once.
func (s *Server) Run(ctx context.Context) error {
	if _, err := s.Listen(); err != nil {
		return err
	}
	return s.serve(ctx, s.listener)
}

func (s *Server) serve(ctx context.Context, l net.Listener) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	web := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: headerWait,
		ReadTimeout:       requestWait,
		WriteTimeout:      answerWait,
		IdleTimeout:       idleWait,
		MaxHeaderBytes:    maxHeaderBytes,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	var work sync.WaitGroup
	work.Go(func() { s.push(ctx) })
	work.Go(func() { s.pushMeter(ctx) })
	failed := make(chan error, 1)
	work.Go(func() { failed <- web.Serve(l) })
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
		err = fmt.Errorf("the page cannot be served any more: %w", err)
	}
	cancel()
	s.hub.close()
	stopErr := stop(web)
	work.Wait()
	return errors.Join(err, stopErr)
}

// stop ends an HTTP server; answers that take too long are cut.
func stop(web *http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), stopWait)
	defer cancel()
	if err := web.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("answers under way were cut: %w", err), web.Close())
	}
	return nil
}
