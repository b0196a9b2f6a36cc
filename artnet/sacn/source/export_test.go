package source

import (
	"time"

	"linkboy/artnet/sacn"
)

// Wire is what a Source needs of its socket, for fakes.
type Wire = wire

// OpenWire is Open with a socket of the caller's making.
func OpenWire(cfg Config, openWire func() (Wire, error)) (*Source, error) {
	return open(cfg, openWire)
}

// SendFrameAt is SendFrame at a time of the caller's choosing.
func (s *Source) SendFrameAt(now time.Time, addresses []uint16, slots [][]byte, first bool) error {
	return s.sendFrame(now, addresses, slots, first, 0)
}

// SendListOf sends universe discovery of a list.
func (s *Source) SendListOf(list []sacn.Universe) { s.sendList(list) }
