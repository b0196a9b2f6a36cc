package source

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"net/netip"
	"time"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// Times of sending.
const (
	// Unchanged levels are sent again after KeepAliveLeast plus up to
	// keepAliveSpread, by chance, so that universes sent together do not stay
	// together; with the wait for the next frame that is within the standard.
	keepAliveSpread = sacn.KeepAliveMost - sacn.KeepAliveLeast - 50*time.Millisecond
)

// stream is one universe as it is sent.
type stream struct {
	universe sacn.Universe
	group    netip.AddrPort
	packet   []byte // the last packet, changed in place for the next
	sequence uint8
	sent     time.Time
	clear    time.Time // when the line is through with what it was sent
	repeat   time.Duration
	same     int    // packets with these levels so far
	owed     bool   // to be sent as soon as the rate allows
	seen     uint64 // the last frame that had it
	live     bool   // sent, and not ended since
	ending   int    // packets with Stream_Terminated still to send
}

// due decides whether the stream is sent in this frame.
func (s *stream) due(now time.Time, slots []byte, first bool, options sacn.Options, count *counters) bool {
	s.owed = s.owed || first || !s.live || s.ending > 0 || sacn.Options(s.packet[sacn.DataOptionsAt]) != options
	unchanged := !s.owed && bytes.Equal(slots, s.packet[sacn.DataSlotsAt:])
	if unchanged && s.same >= sacn.Repeats && now.Sub(s.sent) < s.repeat {
		return false
	}
	if s.clear.Sub(now) > peer.Ahead {
		count.held.Add(1)
		return false
	}
	if unchanged {
		count.repeats.Add(1)
	}
	return true
}

// prepare makes the packet of a universe with new levels. It allocates only
// where there are more slots than ever.
func (s *stream) prepare(d *sacn.Data, slots []byte, sync sacn.Universe, options sacn.Options) error {
	if s.live && len(s.packet) == sacn.DataSlotsAt+len(slots) {
		if old := s.packet[sacn.DataSlotsAt:]; !bytes.Equal(old, slots) {
			copy(old, slots)
			s.same = 0
		}
		binary.BigEndian.PutUint16(s.packet[sacn.DataSyncAt:], uint16(sync))
		s.packet[sacn.DataOptionsAt] = uint8(options)
		return nil
	}
	d.Universe, d.SyncAddress, d.Options, d.Slots = s.universe, sync, options, slots
	packet, err := d.AppendBinary(s.packet[:0])
	d.Slots = nil
	if err != nil {
		return err
	}
	s.packet, s.same = packet, 0
	return nil
}

// number counts the next packet and the time its line takes.
func (s *stream) number(now time.Time) {
	s.sequence++
	s.packet[sacn.DataSequenceAt] = s.sequence
	s.sent = now
	if s.clear.Before(now) {
		s.clear = now
	}
	s.clear = s.clear.Add(peer.LineTime)
	s.repeat = sacn.KeepAliveLeast + rand.N(keepAliveSpread)
}

// end readies one packet with Stream_Terminated, whose slots mean nothing.
func (s *stream) end(now time.Time) {
	binary.BigEndian.PutUint16(s.packet[sacn.DataSyncAt:], 0) // it needs no synchronization packet
	s.packet[sacn.DataOptionsAt] |= uint8(sacn.Terminated)
	s.number(now)
	s.ending--
}
