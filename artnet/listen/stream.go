package listen

import (
	"net/netip"
	"time"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

// Protocol is how levels come.
type Protocol uint8

// The protocols.
const (
	ArtNet Protocol = iota + 1
	SACN
)

// String is the name of the protocol.
func (p Protocol) String() string {
	if p == SACN {
		return "sACN"
	}
	return "Art-Net"
}

// State is whether a stream runs.
type State uint8

// The states of a stream.
const (
	Live    State = iota
	Stopped       // no packet for the standard's time
	Ended         // the source said so, Stream_Terminated
)

// String is a word for the state.
func (s State) String() string { return [...]string{"live", "stopped", "ended"}[s] }

// Times of a stream.
const (
	// artNetStops is when an Art-Net source counts as stopped, the standard's
	// time-out of indicators; it names no time for data loss.
	artNetStops = 6 * time.Second
	// keepFor is how long a stream is listed after it stopped.
	keepFor = time.Minute
)

// Range is a run of slots that changed, and their values now.
type Range struct {
	First  int // from 1
	Values []byte
}

// Stream is what one source sends on one universe.
type Stream struct {
	Protocol Protocol
	Universe uint16 // port-address or universe of E1.31
	Addr     netip.Addr
	Name     string // of the source; empty where it has not told
	CID      sacn.CID
	Physical uint8 // of Art-Net

	Priority uint8 // of E1.31
	Preview  bool  // its last packet was not for live output
	Sync     sacn.Universe
	Synced   bool // sync packets come for it
	State    State
	// Counts is whether its levels are those of the universe: it is live, no
	// preview, and no other source has a higher priority.
	Counts bool

	Rate     float64 // packets per second
	Packets  uint64
	Disorder uint64 // discarded: overtaken, or come twice
	Others   uint64 // with another START code than that of levels

	Slots    []byte
	Changed  []Range // since the last look
	LastSeen time.Time
}

// key tells streams apart.
type key struct {
	protocol Protocol
	universe uint16
	source   [17]byte // CID; or IP address and Physical
}

// stream is a Stream as it is kept.
type stream struct {
	Stream
	name     sacn.Name // Name as it came
	sequence uint8
	started  bool // sequence is that of a packet before
	rate     peer.Rate
	slots    [512]byte
	size     int
	told     [512]byte // slots at the last look
	toldSize int
}

// silent reports whether no packet came for the time of the stream's protocol.
func (s *stream) silent(now time.Time) bool {
	if s.Protocol == SACN {
		return now.Sub(s.LastSeen) >= sacn.DataLossTimeout
	}
	return now.Sub(s.LastSeen) >= artNetStops
}

// drives reports whether it sends levels for live output.
func (s *stream) drives() bool { return s.State == Live && !s.Preview && s.Packets > s.Others }

// settle brings State up to now.
func (s *stream) settle(now time.Time) {
	if s.State == Live && s.silent(now) {
		s.State, s.started = Stopped, false
	}
}

// changed lists what changed since it was called last.
func (s *stream) changed() []Range {
	var ranges []Range
	same := func(i int) bool { return i < s.toldSize && s.slots[i] == s.told[i] }
	for i := 0; i < s.size; i++ {
		if same(i) {
			continue
		}
		first := i
		for i < s.size && !same(i) {
			i++
		}
		ranges = append(ranges, Range{first + 1, append([]byte(nil), s.slots[first:i]...)})
	}
	s.told, s.toldSize = s.slots, s.size
	return ranges
}
