package play

import (
	"sync"
	"sync/atomic"
	"time"

	"linkboy/cues/track"
)

// Snapshot is the state of the engine after a frame or a command.
type Snapshot struct {
	Frame     uint64        // frames rendered since the start, dry ones too, skipped ones not
	At        time.Time     // when the newest frame was due
	FadeID    uint64        // the running fade or the last one; 0 before the first
	Running   bool          // a fade runs, held or not
	Held      bool          // the running fade is held or ridden
	Progress  float64       // of the fade, 0..1; 1 when it has ended
	Total     time.Duration // of the fade
	Remaining time.Duration // until the fade ends, if it is not held
	Overall   float64       // 0..1
	Killed    bool
	Dry       bool
	Dark      bool        // the last fade may go under floor light
	Moving    bool        // a movement is on, held or not
	Frozen    bool        // movement is held
	Still     track.Still // what is on now, before movement, overall, floor light and kill
	Addresses []uint16    // port-addresses, ascending
	Slots     [][]byte    // the bytes on the wire, or what they would be in a dry run

	Late       Lateness
	SendErrors uint64 // frames that the output refused
	SendError  error  // the newest of them, nil once a frame goes out again
	EventsLost uint64
}

// board hands snapshots from the loop to readers without the loop ever waiting:
// of three pages one is the loop's, one the readers', and the third, the newest
// finished one, is exchanged atomically.
type board struct {
	pages [3]page
	back  uint32        // the loop's page
	ready atomic.Uint32 // the page between, with fresh set if it is unread

	mu    sync.Mutex // held by a reader
	front uint32     // the readers' page
}

const fresh = 4

// page is a snapshot and what its long parts were copied from.
type page struct {
	snapshot Snapshot
	place    *place
	version  uint64
}

func (b *board) init() {
	b.back, b.front = 0, 1
	b.ready.Store(2)
}

// publish makes the loop's page the newest.
func (b *board) publish() {
	b.back = b.ready.Swap(b.back|fresh) &^ fresh
}

// newest is the newest page; b.mu must be held.
func (b *board) newest() *page {
	if b.ready.Load()&fresh != 0 {
		b.front = b.ready.Swap(b.front) &^ fresh
	}
	return &b.pages[b.front]
}

// fill brings the loop's page up to date. The long parts are copied only if
// they have changed since this page was last filled.
func (b *board) fill(s *Snapshot, p *place, version uint64) {
	pg := &b.pages[b.back]
	if pg.place != p || pg.version != version {
		to := &p.pages[b.back]
		copy(to.still, p.cur)
		for i, bytes := range p.wire() {
			copy(to.slots[i], bytes)
		}
		pg.place, pg.version = p, version
	}
	pg.snapshot = *s
	pg.snapshot.Still = p.pages[b.back].still
	pg.snapshot.Slots = p.pages[b.back].slots
	pg.snapshot.Addresses = p.addresses
}

// Version counts how often the bytes have been rendered anew: as long as it is
// the same, so are those of a Snapshot. It may be called from any goroutine and
// costs next to nothing.
func (e *Engine) Version() uint64 { return e.shown.Load() }

// Snapshot copies the newest state into dst, re-using its slices. It may be
// called from any goroutine and never makes the loop wait.
func (e *Engine) Snapshot(dst *Snapshot) {
	e.board.mu.Lock()
	defer e.board.mu.Unlock()
	src := &e.board.newest().snapshot
	still, addresses, slots := dst.Still, dst.Addresses, dst.Slots
	*dst = *src
	dst.Still = append(still[:0], src.Still...)
	dst.Addresses = append(addresses[:0], src.Addresses...)
	slots = slots[:cap(slots)]
	for len(slots) < len(src.Slots) {
		slots = append(slots, nil)
	}
	dst.Slots = slots[:len(src.Slots)]
	for i, bytes := range src.Slots {
		dst.Slots[i] = append(dst.Slots[i][:0], bytes...)
	}
}
