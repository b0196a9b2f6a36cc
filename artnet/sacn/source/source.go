package source

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// wire is what a Source needs of its socket; *peer.Sender has it.
type wire interface {
	Local() netip.AddrPort
	WriteToAddrPort(b []byte, to netip.AddrPort) error
	Send(*peer.Batch) error
	SetWriteDeadline(t time.Time) error
	Close() error
}

// What a Source is in use for. SendFrame waits for nobody, so a Source that is
// being closed turns frames away.
const (
	idle uint32 = iota
	sending
	closed
)

var errClosed = errors.New("sACN source: it is closed")

// Source is a source on the network. SendFrame and PreviewFrame belong to one
// goroutine at a time; everything else may be called from any.
type Source struct {
	cfg       Config
	name      sacn.Name
	open      func() (wire, error)
	current   atomic.Pointer[wire]
	universes atomic.Pointer[[]sacn.Universe]
	lastFrame atomic.Int64 // Unix time in ns
	listed    chan struct{}
	trouble   chan struct{} // the network may be gone
	syncTo    []netip.AddrPort
	count     counters

	use    atomic.Uint32
	sender sender // of who has use

	running sync.Mutex // held by Run
	ended   atomic.Bool
	stop    chan struct{}
}

// Open takes a socket on cfg.Interface. It starts nothing: Run does. Errors say
// what is at fault, and which interfaces there are.
func Open(cfg Config) (*Source, error) {
	return open(cfg, func() (wire, error) {
		all, err := peer.Interfaces()
		if err != nil {
			return nil, fmt.Errorf("sACN source: %w", err)
		}
		i, err := peer.Pick(all, cfg.Interface)
		if err != nil {
			return nil, fmt.Errorf("sACN source: %w", err)
		}
		w, err := peer.OpenSender(i, peer.SenderOptions{TTL: max(cfg.TTL, 1), NoLoop: cfg.NoLoop})
		if err != nil {
			return nil, fmt.Errorf("sACN source: %w", err)
		}
		return w, nil
	})
}

func open(cfg Config, openWire func() (wire, error)) (*Source, error) {
	cfg, name, err := cfg.complete()
	if err != nil {
		return nil, err
	}
	s := &Source{
		cfg: cfg, name: name, open: openWire,
		listed: make(chan struct{}, 1), trouble: make(chan struct{}, 1), stop: make(chan struct{}),
	}
	s.sender.streams, s.sender.batch = make(map[uint16]*stream), peer.NewBatch(0)
	s.sender.data = sacn.Data{CID: cfg.CID, SourceName: name, Priority: uint8(cfg.Priority)}
	s.universes.Store(new([]sacn.Universe))
	if cfg.Sync != 0 {
		if s.sender.sync, err = (&sacn.Sync{CID: cfg.CID, Address: cfg.Sync}).AppendBinary(nil); err != nil {
			return nil, err
		}
		if s.syncTo = cfg.To; len(cfg.To) == 0 {
			s.syncTo = []netip.AddrPort{groupOf(cfg.Sync)}
		}
	}
	w, err := openWire()
	if err != nil {
		return nil, err
	}
	s.current.Store(&w)
	return s, nil
}

// Local is the address that packets come from.
func (s *Source) Local() netip.AddrPort { return (*s.current.Load()).Local() }

// Run lists the universes and keeps the source up until ctx ends or Close is
// called. Then it closes the source and returns nil. It runs once.
func (s *Source) Run(ctx context.Context) error {
	if !s.running.TryLock() {
		return errors.New("sACN source: Run is called twice")
	}
	defer s.running.Unlock()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	wait.Go(func() {
		select {
		case <-s.stop:
			cancel()
		case <-ctx.Done():
		}
	})
	wait.Go(func() { s.keepListing(ctx) })
	wait.Go(func() { s.reportFaults(ctx) })
	s.keepOpen(ctx)
	cancel()
	wait.Wait()
	return s.shut()
}

// Close ends Run and every universe, which takes two frames, and gives up the
// socket. Closing again does nothing.
func (s *Source) Close() error {
	err := s.shut()
	s.running.Lock()
	defer s.running.Unlock()
	return err
}

func (s *Source) shut() error {
	if s.ended.Swap(true) {
		return nil
	}
	close(s.stop)
	for !s.use.CompareAndSwap(idle, closed) {
		time.Sleep(time.Millisecond) // a frame is on its way, and never for long
	}
	s.endAll()
	return (*s.current.Load()).Close()
}

// endAll ends every stream: three packets each, a frame apart.
func (s *Source) endAll() {
	if len(s.sender.live) == 0 {
		return
	}
	m := &s.sender
	m.due = append(m.due[:0], m.live...)
	for round := range sacn.Repeats {
		if round > 0 {
			time.Sleep(peer.LineTime)
		}
		for _, p := range m.due {
			p.end(time.Now())
		}
		_ = s.send(false) // counted; there is nobody to tell
	}
	s.sender.live = nil
	s.publish()
}

// Times between tries to open the socket anew, doubling from the first to the
// most; after steady without trouble the first counts again.
const (
	reopenFirst = 500 * time.Millisecond
	reopenMost  = 8 * time.Second
	steady      = 30 * time.Second
)

// keepOpen opens a new socket when sending shows that the network is gone, until
// ctx ends.
func (s *Source) keepOpen(ctx context.Context) {
	wait, opened := reopenFirst, time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.trouble:
		}
		if time.Since(opened) > steady {
			wait = reopenFirst
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		wait = min(2*wait, reopenMost)
		next, err := s.open()
		if err != nil {
			s.cfg.Logger.Warn("the network is gone; trying again", "error", err, "in", wait)
			s.signalTrouble()
			continue
		}
		opened = time.Now()
		(*s.current.Swap(&next)).Close()
		s.count.reopened.Add(1)
	}
}

func (s *Source) signalTrouble() {
	select {
	case s.trouble <- struct{}{}:
	default: // keepOpen knows already
	}
}
