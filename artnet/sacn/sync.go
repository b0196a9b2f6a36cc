package sacn

import (
	"encoding/binary"
	"fmt"
)

// SyncSequenceAt is where a prepared synchronization packet is changed for its
// next sending.
const SyncSequenceAt = 44

const syncSize = 49

// Sync is the E1.31 synchronization packet: data that waits for this address
// acts now. It goes to the group of the address only. Sections 4.2 and 6.3 of
// ANSI E1.31:
//
//	0   root layer          44  Sequence Number
//	22  CID, 16 bytes       45  Synchronization Address, 2 bytes
//	38  Flags and Length    47  Reserved, 2 bytes
//	40  Vector 1
type Sync struct {
	CID      CID
	Sequence uint8    // 0..255 and round, counted per address, apart from data
	Address  Universe // 1..63999
}

// Kind is KindSync.
func (*Sync) Kind() Kind { return KindSync }

// String is one line for a log.
func (s *Sync) String() string {
	return fmt.Sprintf("E1.31 %v of address %d, sequence %d", KindSync, s.Address, s.Sequence)
}

// AppendBinary appends 49 bytes. Errors wrap ErrUniverse.
func (s *Sync) AppendBinary(b []byte) ([]byte, error) {
	if err := s.Address.check(KindSync); err != nil {
		return b, err
	}
	b = appendLayers(b, syncSize, rootExtended, &s.CID, framingSync)
	b = append(b, s.Sequence)
	b = binary.BigEndian.AppendUint16(b, uint16(s.Address))
	return append(b, 0, 0), nil
}

// Parse decodes b into s. Address 0 is an error, since receivers are to ignore
// it. Errors wrap ErrNotACN, ErrShort, ErrVector, ErrLength or ErrUniverse, and
// leave s as it was.
func (s *Sync) Parse(b []byte) error {
	end, err := layers(b, KindSync, syncSize)
	if err != nil {
		return err
	}
	if end != syncSize {
		return fmt.Errorf("sacn: %v: %w: the root layer ends at %d, need %d", KindSync, ErrLength, end, syncSize)
	}
	got := Sync{CID: CID(b[cidAt:]), Sequence: b[SyncSequenceAt], Address: Universe(binary.BigEndian.Uint16(b[45:]))}
	if err := got.Address.check(KindSync); err != nil {
		return err
	}
	*s = got
	return nil
}
