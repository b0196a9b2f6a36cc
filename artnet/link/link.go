package link

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// wire is what a Link needs of its sockets; *peer.Sockets has it.
type wire interface {
	Local() netip.AddrPort
	Broadcast() netip.AddrPort
	Interface() peer.Interface
	Read(handle func(from netip.AddrPort, b []byte)) error
	WriteToAddrPort(b []byte, to netip.AddrPort) error
	Send(b *peer.Batch) error
	SendAside(b *peer.Batch, lane int) error
	SetWriteDeadline(t time.Time) error
	Deaf() error  // why broadcasts are not heard
	Shared() bool // another program has the same address
	Close() error // more than once if need be
}

// Link is a controller on the network. SendFrame belongs to one goroutine at a
// time; everything else may be called from any.
type Link struct {
	cfg     Config
	open    func() (wire, error)
	current atomic.Pointer[wire]
	routes  atomic.Pointer[routes]
	sourced atomic.Pointer[[]artnet.PortAddress] // what SendFrame sends
	sync    atomic.Bool                          // frames of several universes end in an ArtSync
	trouble chan struct{}                        // the network may be gone
	answers *peer.Answers
	replies atomic.Uint64 // ArtPollReplies sent, for their NodeReport
	count   counters

	sender sender // SendFrame's own
	pacer  pacer

	sources sources // others that send what we send

	mu          sync.Mutex // guards the next three; never held during I/O
	table       table
	ownPolls    int        // heard from our own address since the last round
	sharedUntil time.Time  // see Shared
	running     sync.Mutex // held by Run
	closed      atomic.Bool
	stop        chan struct{}
}

// Open takes the Art-Net port on the interface of cfg.Bind or cfg.Interface. It starts
// nothing: Run does. Errors say which address is at fault and which there are.
func Open(cfg Config) (*Link, error) {
	cfg, err := cfg.complete()
	if err != nil {
		return nil, err
	}
	return open(cfg, func() (wire, error) { return openSockets(cfg) })
}

func open(cfg Config, openWire func() (wire, error)) (*Link, error) {
	w, err := openWire()
	if err != nil {
		return nil, err
	}
	l := &Link{
		cfg:     cfg,
		open:    openWire,
		trouble: make(chan struct{}, 1),
		table:   newTable(uint16(cfg.Port), cfg.To),
		stop:    make(chan struct{}),
		sender:  newSender(),
		pacer:   newPacer(),
	}
	l.table.broadcast = cfg.Broadcast
	l.sync.Store(cfg.Sync)
	l.current.Store(&w)
	l.routes.Store(l.table.routes())
	l.sourced.Store(new([]artnet.PortAddress))
	l.answers = peer.NewAnswers(cfg.AnswerDelay, l.answer)
	go l.pace()
	return l, nil
}

func openSockets(cfg Config) (wire, error) {
	all, err := peer.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("artnet link: %w", err)
	}
	var at peer.Interface
	if cfg.Bind.IsValid() && !cfg.Bind.IsUnspecified() {
		if at, err = peer.Find(all, cfg.Bind); err != nil {
			return nil, fmt.Errorf("artnet link: bind to %w", err)
		}
	} else if at, err = peer.Pick(all, cfg.Interface); err != nil {
		return nil, fmt.Errorf("artnet link: %w", err)
	}
	s, err := peer.Open(at, uint16(cfg.Port))
	if err != nil {
		return nil, fmt.Errorf("artnet link: %w", err)
	}
	return s, nil
}

// Local is the address that frames come from.
func (l *Link) Local() netip.AddrPort { return (*l.current.Load()).Local() }

// Broadcast is where polls go, the directed broadcast address; the zero
// AddrPort where the interface has none.
func (l *Link) Broadcast() netip.AddrPort { return (*l.current.Load()).Broadcast() }

// Run finds devices and keeps the link up until ctx ends or Close is called.
// Then it closes the link and returns nil. It runs once.
func (l *Link) Run(ctx context.Context) error {
	if !l.running.TryLock() {
		return errors.New("artnet link: Run is called twice")
	}
	defer l.running.Unlock()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	wait.Go(func() {
		select {
		case <-l.stop:
			cancel()
		case <-ctx.Done():
		}
	})
	wait.Go(func() { l.answers.Run(ctx) })
	wait.Go(func() { l.keepPolling(ctx) })
	wait.Go(func() { l.reportFaults(ctx) })
	l.keepOpen(ctx)
	cancel()
	wait.Wait()
	l.shut()
	return nil
}

// Close ends Run, waits for it, and gives up the port. Closing again does
// nothing.
func (l *Link) Close() error {
	err := l.shut()
	l.running.Lock()
	defer l.running.Unlock()
	return err
}

func (l *Link) shut() error {
	if l.closed.Swap(true) {
		return nil
	}
	close(l.stop)
	err := (*l.current.Load()).Close()
	<-l.pacer.ended
	return err
}

// Nodes lists the devices that have answered, by address, lost ones too. Their
// lists belong to the Link and are not to be changed.
func (l *Link) Nodes() []NodeInfo {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.table.nodes(time.Now())
}
