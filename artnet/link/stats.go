package link

import (
	"context"
	"errors"
	"sync/atomic"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// Stats counts what a Link did since it was opened.
type Stats struct {
	Frames     uint64 // calls of SendFrame
	Packets    uint64 // ArtDmx datagrams sent
	Syncs      uint64 // ArtSync datagrams sent
	Repeats    uint64 // universes sent though unchanged, to keep them alive
	Held       uint64 // universes put off because their line was busy
	SendErrors uint64
	LastError  string // of sending; empty when there was none
	Polls      uint64 // poll rounds
	Replies    uint64 // ArtPollReplies sent
	Reopened   uint64 // times the sockets were opened anew
	Received   uint64 // datagrams of any kind
	Ignored    Ignored
}

// Ignored counts datagrams that were received and had no effect, by reason.
type Ignored struct {
	NotArtNet uint64 // no Art-Net at all
	Short     uint64
	Version   uint64 // protocol before 14
	OpCode    uint64 // a packet that does not concern a controller
	Malformed uint64 // a length, count, time or priority that cannot be
	Dmx       uint64 // another controller's ArtDmx sent to us
	Full      uint64 // more devices, polls or RDM than there is room for
}

type counters struct {
	frames, packets, syncs, repeats, held        atomic.Uint64
	polls, reopened, received                    atomic.Uint64
	notArtNet, short, version, opCode, malformed atomic.Uint64
	dmx, full                                    atomic.Uint64
	faults                                       peer.Faults
}

// Stats may be called from any goroutine.
func (l *Link) Stats() Stats {
	c := &l.count
	return Stats{
		Frames:     c.frames.Load(),
		Packets:    c.packets.Load(),
		Syncs:      c.syncs.Load(),
		Repeats:    c.repeats.Load(),
		Held:       c.held.Load(),
		SendErrors: c.faults.N(),
		LastError:  c.faults.Last(),
		Polls:      c.polls.Load(),
		Replies:    l.replies.Load(),
		Reopened:   c.reopened.Load(),
		Received:   c.received.Load(),
		Ignored: Ignored{
			NotArtNet: c.notArtNet.Load(),
			Short:     c.short.Load(),
			Version:   c.version.Load(),
			OpCode:    c.opCode.Load(),
			Malformed: c.malformed.Load(),
			Dmx:       c.dmx.Load(),
			Full:      c.full.Load(),
		},
	}
}

// ignore counts a datagram that Parse refused.
func (c *counters) ignore(err error) {
	switch {
	case errors.Is(err, artnet.ErrShort):
		c.short.Add(1)
	case errors.Is(err, artnet.ErrVersion):
		c.version.Add(1)
	case errors.Is(err, artnet.ErrOpCode):
		c.opCode.Add(1)
	case errors.Is(err, artnet.ErrLength), errors.Is(err, artnet.ErrCount), errors.Is(err, artnet.ErrTime), errors.Is(err, artnet.ErrPriority):
		c.malformed.Add(1)
	default:
		c.notArtNet.Add(1)
	}
}

// reportFaults logs failed sends, at most once a second.
func (l *Link) reportFaults(ctx context.Context) {
	l.count.faults.Report(ctx, func(failed uint64, last string) {
		l.cfg.Logger.Warn("some frames could not be sent", "failed", failed, "error", last)
	})
}
