package link

import (
	"net/netip"
	"time"

	"linkboy/artnet"
)

// Wire is what a Link needs of its sockets, for fakes.
type Wire = wire

// OpenWire is Open with sockets of the caller's making.
func OpenWire(cfg Config, openWire func() (Wire, error)) (*Link, error) {
	cfg, err := cfg.complete()
	if err != nil {
		return nil, err
	}
	return open(cfg, openWire)
}

// SendFrameAt is SendFrame at a time of the caller's choosing.
func (l *Link) SendFrameAt(now time.Time, addresses []uint16, slots [][]byte, first bool) error {
	return l.sendFrame(now, addresses, slots, first)
}

// Heard is what an ArtPollReply from a device does.
func (l *Link) Heard(from netip.AddrPort, r *artnet.PollReply) { l.takeReply(from, r) }
