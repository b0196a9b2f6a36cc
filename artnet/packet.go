package artnet

import (
	"encoding/binary"
	"fmt"
)

// Port is the UDP port of Art-Net, 0x1936, for source and destination alike.
const Port = 6454

// ProtocolVersion is what this package sends and the least it takes.
const ProtocolVersion = 14

// Codes for a device without registration: the manufacturer code is from the
// range set aside for prototypes, the OEM code means "unknown". A distributed
// product needs codes of its own.
const (
	PrototypeEsta = 0x7ff0
	UnknownOem    = 0x00ff
)

const (
	id          = "Art-Net\x00"
	opCodeAt    = 8
	bodyAt      = 10 // ArtPollReply starts its fields here
	versionAt   = 10
	versionedAt = 12 // every other packet starts its fields here
)

// Packet is one Art-Net packet: *Poll, *PollReply, *DiagData, *Dmx, *Sync,
// *Address, *TodRequest, *TodData, *TodControl, *Rdm, *TimeCode or *Trigger.
type Packet interface {
	OpCode() OpCode
	// AppendBinary appends the packet's bytes to b. On an error b is returned
	// as it was given.
	AppendBinary(b []byte) ([]byte, error)
}

var (
	_ Packet = (*Poll)(nil)
	_ Packet = (*PollReply)(nil)
	_ Packet = (*DiagData)(nil)
	_ Packet = (*Dmx)(nil)
	_ Packet = (*Sync)(nil)
	_ Packet = (*Address)(nil)
	_ Packet = (*TodRequest)(nil)
	_ Packet = (*TodData)(nil)
	_ Packet = (*TodControl)(nil)
	_ Packet = (*Rdm)(nil)
	_ Packet = (*TimeCode)(nil)
	_ Packet = (*Trigger)(nil)
)

// Parse decodes the datagram b. It never panics and makes nothing but the
// packet itself, with its texts and UIDs. The Data of a *Dmx and of a *Trigger,
// the Addresses of a *TodRequest and the Message of a *Rdm are parts of b;
// everything else is free of b. Errors wrap one of the Err variables of this
// package.
func Parse(b []byte) (Packet, error) {
	code, err := opCode(b)
	if err != nil {
		return nil, err
	}
	p := empty(code)
	if p == nil {
		return nil, fmt.Errorf("artnet: %w: %v", ErrOpCode, code)
	}
	if err := p.Parse(b); err != nil {
		return nil, err
	}
	return p, nil
}

type parser interface {
	Packet
	Parse(b []byte) error
}

// empty is a packet of a kind, or nil.
func empty(code OpCode) parser {
	switch code {
	case OpPoll:
		return new(Poll)
	case OpPollReply:
		return new(PollReply)
	case OpDiagData:
		return new(DiagData)
	case OpDmx:
		return new(Dmx)
	case OpSync:
		return new(Sync)
	case OpAddress:
		return new(Address)
	case OpTodRequest:
		return new(TodRequest)
	case OpTodData:
		return new(TodData)
	case OpTodControl:
		return new(TodControl)
	case OpRdm:
		return new(Rdm)
	case OpTimeCode:
		return new(TimeCode)
	case OpTrigger:
		return new(Trigger)
	}
	return nil
}

// PeekOpCode reads the op-code of a datagram and nothing more. The error is
// ErrNotArtNet or ErrShort itself, without words of its own, so that a flood of
// other datagrams makes nothing.
func PeekOpCode(b []byte) (OpCode, error) {
	if len(b) < len(id) || string(b[:len(id)]) != id {
		return 0, ErrNotArtNet
	}
	if len(b) < bodyAt {
		return 0, ErrShort
	}
	return OpCode(binary.LittleEndian.Uint16(b[opCodeAt:])), nil
}

// opCode is PeekOpCode with words for what is wrong.
func opCode(b []byte) (OpCode, error) {
	code, err := PeekOpCode(b)
	switch err {
	case ErrNotArtNet:
		return 0, fmt.Errorf("artnet: %w: %d bytes that do not start with %q", err, len(b), id)
	case ErrShort:
		return 0, fmt.Errorf("artnet: %w: got %d bytes, need %d for an op-code", err, len(b), bodyAt)
	}
	return code, err
}

// header checks the op-code and least length of a packet with a version field.
func header(b []byte, want OpCode, least int) error {
	switch err := bareHeader(b, want, least); err {
	case nil:
		return nil
	case ErrVersion:
		return fmt.Errorf("artnet: %v: %w: got %d, need %d or later", want, err, binary.BigEndian.Uint16(b[versionAt:]), ProtocolVersion)
	}
	code, err := opCode(b)
	switch {
	case err != nil:
		return err
	case code != want:
		return fmt.Errorf("artnet: %w: got %v, need %v", ErrOpCode, code, want)
	}
	return fmt.Errorf("artnet: %v: %w: got %d bytes, need %d", want, ErrShort, len(b), least)
}

// bareHeader is header without words: the error is an Err variable itself.
func bareHeader(b []byte, want OpCode, least int) error {
	code, err := PeekOpCode(b)
	switch {
	case err != nil:
		return err
	case code != want:
		return ErrOpCode
	case len(b) < least:
		return ErrShort
	case want != OpPollReply && binary.BigEndian.Uint16(b[versionAt:]) < ProtocolVersion:
		return ErrVersion
	}
	return nil
}

func appendHeader(b []byte, code OpCode) []byte {
	b = append(b, id...)
	b = binary.LittleEndian.AppendUint16(b, uint16(code))
	if code == OpPollReply {
		return b
	}
	return binary.BigEndian.AppendUint16(b, ProtocolVersion)
}
