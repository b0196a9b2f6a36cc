package sacn

import (
	"encoding/binary"
	"fmt"
)

// Kind is what a packet is for.
type Kind uint8

// The kinds of packet, told by the root and framing vectors.
const (
	KindData Kind = iota + 1
	KindSync
	KindDiscovery
)

// String is a word for the kind.
func (k Kind) String() string {
	names := [...]string{KindData: "data", KindSync: "synchronization", KindDiscovery: "universe discovery"}
	if k >= KindData && int(k) < len(names) {
		return names[k]
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// Vectors of ANSI E1.31 Appendix A.
const (
	rootData     = 0x00000004 // VECTOR_ROOT_E131_DATA
	rootExtended = 0x00000008 // VECTOR_ROOT_E131_EXTENDED

	framingData      = 0x00000002 // VECTOR_E131_DATA_PACKET
	framingSync      = 0x00000001 // VECTOR_E131_EXTENDED_SYNCHRONIZATION
	framingDiscovery = 0x00000002 // VECTOR_E131_EXTENDED_DISCOVERY

	dmpSetProperty = 0x02       // VECTOR_DMP_SET_PROPERTY
	universeList   = 0x00000001 // VECTOR_UNIVERSE_DISCOVERY_UNIVERSE_LIST
)

// What ACN over UDP starts with: preamble size 16, post-amble size 0 and the
// packet identifier, ANSI E1.31 sections 5.1-5.3.
const preamble = "\x00\x10\x00\x00" + "ASC-E1.17\x00\x00\x00"

// Places in every packet.
const (
	rootAt    = 16 // flags and length of the root layer
	cidAt     = 22
	framingAt = 38 // flags and length of the framing layer
	bodyAt    = 44
)

// Packet is one packet: *Data, *Sync or *Discovery.
type Packet interface {
	Kind() Kind
	// AppendBinary appends the packet's bytes to b. On an error b is returned
	// as it was given.
	AppendBinary(b []byte) ([]byte, error)
}

var (
	_ Packet = (*Data)(nil)
	_ Packet = (*Sync)(nil)
	_ Packet = (*Discovery)(nil)
)

// Parse decodes the datagram b. It never panics and makes nothing but the
// packet itself and the Universes of a *Discovery. The Slots of a *Data are a
// part of b; everything else is free of b. Errors wrap one of the Err variables
// of this package.
func Parse(b []byte) (Packet, error) {
	kind, err := PeekKind(b)
	if err != nil {
		return nil, err
	}
	var p interface {
		Packet
		Parse(b []byte) error
	}
	switch kind {
	case KindData:
		p = new(Data)
	case KindSync:
		p = new(Sync)
	default:
		p = new(Discovery)
	}
	if err := p.Parse(b); err != nil {
		return nil, err
	}
	return p, nil
}

// PeekKind reads the kind of a datagram and nothing more. Errors wrap
// ErrNotACN, ErrShort or ErrVector.
func PeekKind(b []byte) (Kind, error) {
	if len(b) < len(preamble) || string(b[:len(preamble)]) != preamble {
		return 0, fmt.Errorf("sacn: %w: %d bytes that do not start with the preamble and identifier of ANSI E1.31 section 5", ErrNotACN, len(b))
	}
	if len(b) < bodyAt {
		return 0, fmt.Errorf("sacn: %w: got %d bytes, need %d for the vectors", ErrShort, len(b), bodyAt)
	}
	root, framing := binary.BigEndian.Uint32(b[rootAt+2:]), binary.BigEndian.Uint32(b[framingAt+2:])
	switch {
	case root == rootData && framing == framingData:
		return KindData, nil
	case root == rootExtended && framing == framingSync:
		return KindSync, nil
	case root == rootExtended && framing == framingDiscovery:
		return KindDiscovery, nil
	}
	return 0, fmt.Errorf("sacn: %w: root 0x%08x, framing 0x%08x", ErrVector, root, framing)
}

// layers checks the kind, the least length and the two outer lengths of a
// packet, and returns where it ends.
func layers(b []byte, want Kind, least int) (end int, err error) {
	kind, err := PeekKind(b)
	if err != nil {
		return 0, err
	}
	if kind != want {
		return 0, fmt.Errorf("sacn: %w: got %v, need %v", ErrVector, kind, want)
	}
	if len(b) < least {
		return 0, fmt.Errorf("sacn: %v: %w: got %d bytes, need %d", want, ErrShort, len(b), least)
	}
	end = rootAt + int(binary.BigEndian.Uint16(b[rootAt:])&0x0fff)
	if end > len(b) || end < least {
		return 0, fmt.Errorf("sacn: %v: %w: the root layer ends at %d, need %d to %d", want, ErrLength, end, least, len(b))
	}
	if err := layer(b, want, rootAt, end); err != nil {
		return 0, err
	}
	return end, layer(b, want, framingAt, end)
}

// layer checks that the layer at a place goes to the end of the packet.
func layer(b []byte, kind Kind, at, end int) error {
	if got, need := binary.BigEndian.Uint16(b[at:]), flagsAndLength(end-at); got != need {
		return fmt.Errorf("sacn: %v: %w: got 0x%04x at octet %d, need 0x%04x", kind, ErrLength, got, at, need)
	}
	return nil
}

// flagsAndLength is flags 7 and a length of up to 4095.
func flagsAndLength(n int) uint16 { return 7<<12 | uint16(n) }

// appendLayers appends the root layer and the start of the framing layer of a
// packet of size bytes.
func appendLayers(b []byte, size int, root uint32, cid *CID, framing uint32) []byte {
	b = append(b, preamble...)
	b = binary.BigEndian.AppendUint16(b, flagsAndLength(size-rootAt))
	b = binary.BigEndian.AppendUint32(b, root)
	b = append(b, cid[:]...)
	b = binary.BigEndian.AppendUint16(b, flagsAndLength(size-framingAt))
	return binary.BigEndian.AppendUint32(b, framing)
}
