package controller

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"math/rand/v2"
	"net/netip"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/rdm"
)

// Gateway is where a line is reached: a port-address at a node.
type Gateway struct {
	Node        netip.AddrPort
	PortAddress artnet.PortAddress
}

// Config says how a Controller reaches its gateways. The zero times are those
// of common practice: Art-Net leaves them to the controller.
type Config struct {
	// Send sends an ArtTodRequest, ArtTodControl or ArtRdm: to a node, or by
	// directed broadcast where to is the zero AddrPort. It must be there.
	Send func(to netip.AddrPort, p artnet.Packet) error
	// UID is the controller's own; a zero one makes one of the prototype
	// manufacturer's range by chance.
	UID rdm.UID
	// Timeout is how long an answer may take; 0 is 1 s.
	Timeout time.Duration
	// Tries is how often a request is sent at most; 0 is 3. Between tries
	// passes Pause and then twice as long each time; 0 is 200 ms. Others use
	// the line meanwhile.
	Tries int
	Pause time.Duration
	// Patience is the longest that a device may put an answer off; 0 is 30 s.
	Patience time.Duration
	// TodWait is how long gateways have to tell their tables; 0 is 2.5 s, in
	// which they are asked once a second.
	TodWait time.Duration
	// Logger gets what Run has to say; nil discards it.
	Logger *slog.Logger
}

func (c Config) complete() Config {
	if c.UID == (rdm.UID{}) {
		c.UID = rdm.NewUID(artnet.PrototypeEsta, 1+rand.Uint32N(0xfff00000-1)) // above are the software nodes
	}
	or := func(d *time.Duration, usual time.Duration) {
		if *d == 0 {
			*d = usual
		}
	}
	or(&c.Timeout, time.Second)
	or(&c.Pause, 200*time.Millisecond)
	or(&c.Patience, 30*time.Second)
	or(&c.TodWait, 2500*time.Millisecond)
	if c.Tries == 0 {
		c.Tries = 3
	}
	if c.Logger == nil {
		c.Logger = slog.New(slog.DiscardHandler)
	}
	return c
}

// inMost is how many packets may wait for Run.
const inMost = 256

// Controller asks and sets RDM devices. All methods may be called from any
// goroutine.
type Controller struct {
	cfg   Config
	in    chan arrival
	count counters

	mu      sync.Mutex // guards what follows; never held while waiting
	lines   map[Gateway]*line
	tables  map[tableKey]*table
	devices map[rdm.UID]*device
	types   map[typeKey]typeText
	told    chan struct{} // closed and made anew when a table was told
	// tellings counts whole tables.
	tellings uint64
}

// arrival is a packet that a node sent.
type arrival struct {
	from netip.AddrPort
	tod  *artnet.TodData
	rdm  *artnet.Rdm
}

// New makes a Controller. It starts nothing: Run does.
func New(cfg Config) (*Controller, error) {
	if cfg.Send == nil {
		return nil, errors.New("rdm controller: no way to send")
	}
	return &Controller{
		cfg: cfg.complete(), in: make(chan arrival, inMost), lines: make(map[Gateway]*line), tables: make(map[tableKey]*table),
		devices: make(map[rdm.UID]*device), types: make(map[typeKey]typeText), told: make(chan struct{}),
	}, nil
}

// Receive takes a packet that a node sent: an *artnet.TodData or an *artnet.Rdm.
// It copies what it keeps, never waits, and reports false when there was no
// room.
func (c *Controller) Receive(from netip.AddrPort, p artnet.Packet) bool {
	a := arrival{from: from}
	switch p := p.(type) {
	case *artnet.TodData:
		own := *p
		own.UIDs = slices.Clone(p.UIDs)
		a.tod = &own
	case *artnet.Rdm:
		own := *p
		own.Message = bytes.Clone(p.Message)
		a.rdm = &own
	default:
		return true // nothing for a controller
	}
	select {
	case c.in <- a:
		return true
	default:
		c.count.full.Add(1)
		return false
	}
}

// Run takes in what gateways send until ctx ends, and returns nil.
func (c *Controller) Run(ctx context.Context) error {
	for {
		select {
		case <-ctx.Done():
			return nil
		case a := <-c.in:
			if a.tod != nil {
				c.takeTable(a.from, a.tod)
			} else {
				c.takeMessage(a.from, a.rdm)
			}
		}
	}
}

// Stats counts what a Controller did since it was made.
type Stats struct {
	Requests uint64 // sent, each try by itself
	Answers  uint64 // taken
	Timeouts uint64 // tries without an answer
	Late     uint64 // answers to no request that waits: late, twice, or another's
	Bad      uint64 // messages that could not be read
	Full     uint64 // packets dropped as Run could not keep up
}

type counters struct{ requests, answers, timeouts, late, bad, full atomic.Uint64 }

// Stats may be called from any goroutine.
func (c *Controller) Stats() Stats {
	n := &c.count
	return Stats{n.requests.Load(), n.answers.Load(), n.timeouts.Load(), n.late.Load(), n.bad.Load(), n.full.Load()}
}

// sleep waits and reports false when ctx ended first.
func sleep(ctx context.Context, d time.Duration) bool {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-timer.C:
		return true
	}
}
