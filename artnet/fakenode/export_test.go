package fakenode

import (
	"net/netip"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// Unplugged is a node without sockets: Receive is its only way in.
func Unplugged(cfg Config) (*Node, error) {
	n, err := newNode(cfg)
	if err != nil {
		return nil, err
	}
	n.answers = peer.NewAnswers(nil, func(netip.AddrPort) {})
	n.write = func([]byte, netip.AddrPort) error { return nil }
	n.everyone = func() netip.AddrPort { return netip.AddrPort{} }
	return n, nil
}

// Receive is what the sockets call.
func (n *Node) Receive(from netip.AddrPort, b []byte) { n.receive(time.Now(), from, b) }

// Describe is what the node answers to a poll.
func (n *Node) Describe() []artnet.PollReply {
	return n.describe(time.Now(), DefaultAddr, peer.Interface{MAC: [6]byte{2, 0, 0, 0, 0x5e, 8}})
}
