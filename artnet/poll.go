package artnet

import (
	"encoding/binary"
	"fmt"
)

// PollFlags is what a controller asks for in its ArtPoll.
type PollFlags uint8

// The flags of ArtPoll. Bit 0 is deprecated; bits 6 and 7 mean nothing.
const (
	PollReplyOnChange PollFlags = 1 << 1 // send ArtPollReply on every change, not only when polled
	PollDiagnostics   PollFlags = 1 << 2 // send diagnostics
	PollDiagUnicast   PollFlags = 1 << 3 // diagnostics by unicast, else broadcast
	PollVLCOff        PollFlags = 1 << 4 // no transmission over visible light
	PollTargeted      PollFlags = 1 << 5 // only devices in TargetBottom..TargetTop answer

	pollFlagsKnown = PollReplyOnChange | PollDiagnostics | PollDiagUnicast | PollVLCOff | PollTargeted
)

// DiagPriority is the lowest priority of diagnostics that is wanted.
type DiagPriority uint8

// The priorities of diagnostics.
const (
	DiagLow      DiagPriority = 0x10
	DiagMedium   DiagPriority = 0x40
	DiagHigh     DiagPriority = 0x80
	DiagCritical DiagPriority = 0xe0
	DiagVolatile DiagPriority = 0xf0
)

// String is a word for the priority.
func (p DiagPriority) String() string {
	switch p {
	case DiagLow:
		return "low"
	case DiagMedium:
		return "medium"
	case DiagHigh:
		return "high"
	case DiagCritical:
		return "critical"
	case DiagVolatile:
		return "volatile"
	}
	return fmt.Sprintf("priority 0x%02x", uint8(p))
}

const pollLeast = 14 // the fields from 14 on came later and count as 0 when missing

// Poll is ArtPoll: a controller asks who is there. Art-Net 4, section
// "ArtPoll":
//
//	12  Flags           14  TargetPortAddressTop, 2 bytes      18  EstaMan, 2 bytes
//	13  DiagPriority    16  TargetPortAddressBottom, 2 bytes   20  Oem, 2 bytes
type Poll struct {
	Flags        PollFlags
	DiagPriority DiagPriority
	// TargetTop and TargetBottom are the range of port-addresses asked, both
	// included; they count only with PollTargeted.
	TargetTop, TargetBottom PortAddress
	EstaMan, Oem            uint16 // the asking device's codes
}

// OpCode is OpPoll.
func (*Poll) OpCode() OpCode { return OpPoll }

// Asks reports whether a device with port-address a is to answer.
func (p *Poll) Asks(a PortAddress) bool {
	return p.Flags&PollTargeted == 0 || a >= p.TargetBottom && a <= p.TargetTop
}

// String says who is asked.
func (p *Poll) String() string {
	if p.Flags&PollTargeted == 0 {
		return fmt.Sprintf("%v of everyone, flags 0x%02x", OpPoll, uint8(p.Flags))
	}
	return fmt.Sprintf("%v of %v to %v, flags 0x%02x", OpPoll, p.TargetBottom, p.TargetTop, uint8(p.Flags))
}

// AppendBinary appends 22 bytes. Errors wrap ErrPortAddress.
func (p *Poll) AppendBinary(b []byte) ([]byte, error) {
	for _, a := range []PortAddress{p.TargetTop, p.TargetBottom} {
		if err := a.check(); err != nil {
			return b, err
		}
	}
	b = appendHeader(b, OpPoll)
	b = append(b, uint8(p.Flags&pollFlagsKnown), uint8(p.DiagPriority))
	b = binary.BigEndian.AppendUint16(b, uint16(p.TargetTop))
	b = binary.BigEndian.AppendUint16(b, uint16(p.TargetBottom))
	b = binary.BigEndian.AppendUint16(b, p.EstaMan)
	return binary.BigEndian.AppendUint16(b, p.Oem), nil
}

// Parse decodes b into p, leaving nothing of what p held. 14 bytes are enough.
// Errors wrap ErrNotArtNet, ErrOpCode, ErrShort or ErrVersion, and leave p as
// it was.
func (p *Poll) Parse(b []byte) error {
	if err := header(b, OpPoll, pollLeast); err != nil {
		return err
	}
	var full [22]byte
	copy(full[:], b)
	*p = Poll{
		Flags:        PollFlags(full[12]) & pollFlagsKnown,
		DiagPriority: DiagPriority(full[13]),
		TargetTop:    PortAddress(binary.BigEndian.Uint16(full[14:])) & MaxPortAddress,
		TargetBottom: PortAddress(binary.BigEndian.Uint16(full[16:])) & MaxPortAddress,
		EstaMan:      binary.BigEndian.Uint16(full[18:]),
		Oem:          binary.BigEndian.Uint16(full[20:]),
	}
	return nil
}
