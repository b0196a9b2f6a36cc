package session

import (
	"slices"
	"sync"

	"linkboy/colour"
	"linkboy/cues/play"
)

// snapshots lends the room that a reader of the wire needs.
var snapshots = sync.Pool{New: func() any { return new(play.Snapshot) }}

// Cells gives the light of every cell, computed from the bytes on the wire, Y
// in lumens, in dst[:0] if it has room. Cells whose bytes have not been sent yet
// are dark. It never waits for a verb.
func (s *Session) Cells(dst []colour.XYZ) []colour.XYZ {
	snap := snapshots.Get().(*play.Snapshot)
	defer snapshots.Put(snap)
	s.engine.Snapshot(snap)
	site := s.site.Load()
	dst = slices.Grow(dst[:0], len(site.place.Cells))[:len(site.place.Cells)]
	site.place.Light(site.bytesOf(snap), dst)
	return dst
}

// LightVersion changes whenever Cells may: it saves asking for them.
func (s *Session) LightVersion() uint64 { return s.engine.Version() }

// LookCells gives the light of every cell once a look has settled, floor light
// included. The error is a *Refusal.
func (s *Session) LookCells(name string) ([]colour.XYZ, error) {
	site := s.site.Load()
	k, err := site.look(name)
	if err != nil {
		return nil, err
	}
	return site.light(k.still), nil
}

// Frames gives a copy of the newest bytes: slots[i] for the port-address
// addresses[i], ascending. In a dry run they are what would be sent.
func (s *Session) Frames() (addresses []uint16, slots [][]byte) {
	var snap play.Snapshot
	s.engine.Snapshot(&snap)
	return snap.Addresses, snap.Slots
}
