package source

import (
	"context"
	"fmt"
	"net/netip"
	"sync/atomic"

	"linkboy/artnet/peer"
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
	noUniverse, reopened                               atomic.Uint64
	faults                                             peer.Faults
}

// Stats may be called from any goroutine.
func (s *Source) Stats() Stats {
	c := &s.count
	return Stats{
		Frames: c.frames.Load(), Packets: c.packets.Load(), Repeats: c.repeats.Load(), Held: c.held.Load(),
		Syncs: c.syncs.Load(), Ends: c.ends.Load(), Lists: c.lists.Load(), NoUniverse: c.noUniverse.Load(),
		SendErrors: c.faults.N(), LastError: c.faults.Last(), Reopened: c.reopened.Load(),
	}
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
	s.count.faults.Add(err)
	return err
}

// reportFaults logs failed sends, at most once a second.
func (s *Source) reportFaults(ctx context.Context) {
	s.count.faults.Report(ctx, func(failed uint64, last string) {
		s.cfg.Logger.Warn("some sACN frames could not be sent", "failed", failed, "error", last)
	})
}
