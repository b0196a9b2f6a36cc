package source

import (
	"context"
	"fmt"
	"net/netip"
	"sync/atomic"
	"time"

	"linkboy/artnet/sacn"
)

// Stats counts what a Source did since it was opened.
type Stats struct {
	Frames     uint64 // calls of SendFrame and PreviewFrame
	Packets    uint64 // data packets sent, without those that end a stream
	Repeats    uint64 // universes sent though unchanged
	Held       uint64 // universes put off because their line was busy
	Syncs      uint64 // synchronization packets
	Ends       uint64 // packets with Stream_Terminated
	Lists      uint64 // universe discovery packets
	NoUniverse uint64 // port-addresses without a universe, each time the set of them changed
	SendErrors uint64
	LastError  string // of sending; empty when there was none
	Reopened   uint64 // times the socket was opened anew
}

type counters struct {
	frames, packets, repeats, held, syncs, ends, lists atomic.Uint64
	noUniverse, sendErrors, reopened                   atomic.Uint64
	lastError                                          atomic.Pointer[error]
}

// Stats may be called from any goroutine.
func (s *Source) Stats() Stats {
	c := &s.count
	out := Stats{
		Frames: c.frames.Load(), Packets: c.packets.Load(), Repeats: c.repeats.Load(), Held: c.held.Load(),
		Syncs: c.syncs.Load(), Ends: c.ends.Load(), Lists: c.lists.Load(), NoUniverse: c.noUniverse.Load(),
		SendErrors: c.sendErrors.Load(), Reopened: c.reopened.Load(),
	}
	if err := c.lastError.Load(); err != nil {
		out.LastError = (*err).Error()
	}
	return out
}

// sent counts a datagram of a stream; nil is synchronization.
func (c *counters) sent(p *stream) {
	switch {
	case p == nil:
		c.syncs.Add(1)
	case sacn.Options(p.packet[sacn.DataOptionsAt])&sacn.Terminated != 0:
		c.ends.Add(1)
	default:
		c.packets.Add(1)
	}
}

// fault counts a failed send and keeps it for reportFaults.
func (s *Source) fault(to netip.AddrPort, err error) error {
	err = fmt.Errorf("sACN source: send to %v: %w", to, err)
	s.count.sendErrors.Add(1)
	s.count.lastError.Store(&err)
	return err
}

// reportFaults logs failed sends, at most once a second.
func (s *Source) reportFaults(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	var told uint64
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if n := s.count.sendErrors.Load(); n > told {
			s.cfg.Logger.Warn("some sACN frames could not be sent", "failed", n-told, "error", *s.count.lastError.Load())
			told = n
		}
	}
}
