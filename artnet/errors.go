package artnet

import "errors"

// What can be wrong with a packet. Errors of this package wrap one of these
// and say what was got and what was needed, so a receiver can count what it
// skips by kind.
var (
	// ErrNotArtNet is a datagram that does not start with "Art-Net" and a NUL.
	ErrNotArtNet = errors.New("not an Art-Net packet")
	// ErrShort is a packet under the least length of its kind.
	ErrShort = errors.New("packet too short")
	// ErrVersion is a protocol version before 14.
	ErrVersion = errors.New("protocol version too old")
	// ErrOpCode is a packet of a kind that is not decoded here.
	ErrOpCode = errors.New("op-code not handled")
	// ErrLength is an ArtDmx Length that is odd, zero, over 512 or more than
	// the datagram holds; or that many slots asked to be encoded.
	ErrLength = errors.New("bad slot count")
	// ErrPortAddress is a port-address outside 0..32767 or a text that is none.
	ErrPortAddress = errors.New("bad port-address")
	// ErrText is a text that does not fit its field or holds a NUL.
	ErrText = errors.New("text does not fit")
	// ErrAddress is an IP address that is not IPv4.
	ErrAddress = errors.New("not an IPv4 address")
	// ErrCount is a list or payload longer than its packet allows, or than the
	// datagram holds.
	ErrCount = errors.New("bad count")
	// ErrTime is a time code that no clock shows.
	ErrTime = errors.New("bad time code")
	// ErrPriority is a priority over 200.
	ErrPriority = errors.New("bad priority")
)
