package rdm

import "errors"

// What can be wrong with a message. Errors of this package wrap one of these
// and say what was got and what was needed.
var (
	// ErrStart is a packet that does not start with START code 0xCC and
	// sub-START code 0x01.
	ErrStart = errors.New("not an RDM message")
	// ErrShort is a packet that ends before its message does.
	ErrShort = errors.New("message too short")
	// ErrLength is a message length that is not 24 and the parameter data
	// length, or data over 231 bytes.
	ErrLength = errors.New("bad message length")
	// ErrChecksum is a checksum that is not the sum of the slots.
	ErrChecksum = errors.New("bad checksum")
	// ErrRule is a message that the standard forbids to send.
	ErrRule = errors.New("against the standard")
	// ErrCollision is a branch reply that is not one responder's: most likely
	// several answered at once.
	ErrCollision = errors.New("bad branch reply")
	// ErrPID is a parameter that is not decoded here, or not with this command
	// class.
	ErrPID = errors.New("parameter not handled")
	// ErrFormat is parameter data of the wrong length: NackFormat.
	ErrFormat = errors.New("bad parameter data length")
	// ErrRange is a value without a meaning: NackRange.
	ErrRange = errors.New("value out of range")
	// ErrLabel is a text over 32 bytes or not in printable ASCII.
	ErrLabel = errors.New("bad label")
	// ErrUID is a text that is no unique identifier.
	ErrUID = errors.New("bad UID")
)
