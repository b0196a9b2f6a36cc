package artnet

import (
	"encoding/binary"
	"fmt"
)

// MaxSlots is the most slots of one universe.
const MaxSlots = 512

const dmxSlotsAt = 18

// Dmx is ArtDmx: the slots of one universe. Art-Net 4, section "ArtDmx":
//
//	12  Sequence    14  SubUni    16  Length, 2 bytes
//	13  Physical    15  Net       18  Data
type Dmx struct {
	// Sequence counts 1..255 and back to 1 per port-address; 0 says that the
	// sender does not count.
	Sequence uint8
	// Physical is the input port of the sender, for information; it also tells
	// two sources of one IP address apart.
	Physical    uint8
	PortAddress PortAddress
	// Data holds slot 1 first. 1..512 slots are encoded, an odd number with one
	// zero slot after them because the standard wants an even one; a decoded
	// packet has 2..512, always even.
	Data []byte
}

// OpCode is OpDmx.
func (*Dmx) OpCode() OpCode { return OpDmx }

// String is the port-address, the sequence number and how many slots.
func (d *Dmx) String() string {
	return fmt.Sprintf("%v %v, sequence %d, %d slots", OpDmx, d.PortAddress, d.Sequence, len(d.Data))
}

// AppendBinary appends 18 + len(Data) bytes, one more for an odd count. Errors
// wrap ErrLength or ErrPortAddress. It allocates only to grow b.
func (d *Dmx) AppendBinary(b []byte) ([]byte, error) {
	n := len(d.Data)
	if n == 0 || n > MaxSlots {
		return b, fmt.Errorf("artnet: %v: %w: got %d, need 1..%d", OpDmx, ErrLength, n, MaxSlots)
	}
	if err := d.PortAddress.check(); err != nil {
		return b, err
	}
	b = appendHeader(b, OpDmx)
	b = append(b, d.Sequence, d.Physical, uint8(d.PortAddress), d.PortAddress.Net())
	b = binary.BigEndian.AppendUint16(b, uint16(n+n&1))
	b = append(b, d.Data...)
	if n&1 == 1 {
		b = append(b, 0)
	}
	return b, nil
}

// Parse decodes b into d, leaving nothing of what d held. Data becomes a part
// of b. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort, ErrVersion or ErrLength,
// and leave d as it was.
func (d *Dmx) Parse(b []byte) error {
	err := d.ParseBare(b)
	switch {
	case err == nil:
		return nil
	case err != ErrLength:
		return header(b, OpDmx, dmxSlotsAt) // the same with words
	}
	n := dmxLength(b)
	if n == 0 || n > MaxSlots || n&1 == 1 {
		return fmt.Errorf("artnet: %v: %w: got %d, need an even number 2..%d", OpDmx, err, n, MaxSlots)
	}
	return fmt.Errorf("artnet: %v: %w: %d said, %d in the packet", OpDmx, err, n, len(b)-dmxSlotsAt)
}

// ParseBare is Parse for a receiver that counts errors and shows none: the error
// is one of those Err variables itself, so that bad packets make nothing either.
func (d *Dmx) ParseBare(b []byte) error {
	if err := bareHeader(b, OpDmx, dmxSlotsAt); err != nil {
		return err
	}
	n := dmxLength(b)
	if n == 0 || n > MaxSlots || n&1 == 1 || n > len(b)-dmxSlotsAt {
		return ErrLength
	}
	*d = Dmx{
		Sequence:    b[12],
		Physical:    b[13],
		PortAddress: join(b[15], b[14]),
		Data:        b[dmxSlotsAt : dmxSlotsAt+n : dmxSlotsAt+n],
	}
	return nil
}

// dmxLength is the Length field.
func dmxLength(b []byte) int { return int(binary.BigEndian.Uint16(b[16:])) }
