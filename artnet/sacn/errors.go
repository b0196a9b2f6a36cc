package sacn

import "errors"

// What can be wrong with a packet. Errors of this package wrap one of these
// and say what was got and what was needed, so a receiver can count what it
// skips by kind.
var (
	// ErrNotACN is a datagram without the preamble, post-amble or identifier of
	// ACN over UDP.
	ErrNotACN = errors.New("not an ACN packet")
	// ErrShort is a packet under the least length of its kind.
	ErrShort = errors.New("packet too short")
	// ErrVector is a packet of a kind that is not decoded here.
	ErrVector = errors.New("vector not handled")
	// ErrLength is a layer whose flags are not 7, or whose length is not the
	// rest of the packet or more than the datagram holds.
	ErrLength = errors.New("bad flags and length")
	// ErrFormat is a DMP layer that is not one run of one-byte properties.
	ErrFormat = errors.New("bad property format")
	// ErrCount is a number of slots over 512 or not the one the lengths give, or
	// of universes over 512.
	ErrCount = errors.New("bad count")
	// ErrUniverse is a universe outside 1..63999, or a text that is none.
	ErrUniverse = errors.New("bad universe")
	// ErrPriority is a priority over 200.
	ErrPriority = errors.New("bad priority")
	// ErrPage is a page after the last page.
	ErrPage = errors.New("bad page")
	// ErrName is a source name over 63 bytes, with a NUL or not in UTF-8.
	ErrName = errors.New("bad source name")
	// ErrCID is a text that is not a UUID.
	ErrCID = errors.New("bad component identifier")
)
