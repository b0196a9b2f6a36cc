package sacn

import (
	"encoding/binary"
	"fmt"
	"strings"
)

// Priorities of ANSI E1.31 section 6.2.3.
const (
	DefaultPriority = 100
	MaxPriority     = 200
)

// MaxSlots is the most slots of one universe.
const MaxSlots = 512

// StartCodeLevels is the START code of levels, ANSI E1.11's NULL START code.
const StartCodeLevels = 0

// Options are the bits of a data packet, ANSI E1.31 section 6.2.6.
type Options uint8

// The options. Bits 0 to 4 mean nothing.
const (
	Preview    Options = 1 << 7 // Preview_Data: not for live output
	Terminated Options = 1 << 6 // Stream_Terminated: the source leaves; its slots mean nothing
	ForceSync  Options = 1 << 5 // Force_Synchronization: when sync is lost act on data at once, else freeze

	optionsKnown = Preview | Terminated | ForceSync
)

// String names the options that are set.
func (o Options) String() string {
	var words []string
	for _, bit := range []struct {
		o    Options
		name string
	}{{Preview, "preview"}, {Terminated, "terminated"}, {ForceSync, "force sync"}} {
		if o&bit.o != 0 {
			words = append(words, bit.name)
		}
	}
	if words == nil {
		return "none"
	}
	return strings.Join(words, ", ")
}

// Where a prepared data packet is changed for its next sending. The slots may be
// overwritten in place while their number stays.
const (
	DataSyncAt     = 109 // 2 bytes
	DataSequenceAt = 111
	DataOptionsAt  = 112
	DataSlotsAt    = 126

	dmpAt = 115
)

// dmpFormat is vector, address and data type, first property address and
// address increment, ANSI E1.31 sections 7.2-7.5.
const dmpFormat = "\x02\xa1\x00\x00\x00\x01"

// Data is the E1.31 data packet: the slots of one universe. Sections 4.1, 6.2
// and 7 of ANSI E1.31:
//
//	0    root layer               109  Synchronization Address, 2 bytes
//	22   CID, 16 bytes            111  Sequence Number
//	38   Flags and Length         112  Options
//	40   Vector 2                 113  Universe, 2 bytes
//	44   Source Name, 64 bytes    115  Flags and Length, then 02 a1 0000 0001
//	108  Priority                 123  Property value count, 2 bytes
//	                              125  START code
//	                              126  slots
type Data struct {
	CID         CID
	SourceName  Name
	Priority    uint8    // 0..200; DefaultPriority unless someone says otherwise
	SyncAddress Universe // universe whose Sync packets hold and release this one; 0 for none
	Sequence    uint8    // 0..255 and round, counted per universe
	Options     Options
	Universe    Universe // 1..63999
	StartCode   uint8
	// Slots holds slot 1 first, 0..512 of them.
	Slots []byte
}

// Kind is KindData.
func (*Data) Kind() Kind { return KindData }

// Levels are the slots if they may drive live output: those of START code 0,
// neither for preview only nor of a source that leaves.
func (d *Data) Levels() (slots []byte, ok bool) {
	if d.StartCode != StartCodeLevels || d.Options&(Preview|Terminated) != 0 {
		return nil, false
	}
	return d.Slots, true
}

// String is one line for a log.
func (d *Data) String() string {
	return fmt.Sprintf("E1.31 %v universe %d from %q, priority %d, sync %d, sequence %d, options %v, START code 0x%02x, %d slots",
		KindData, d.Universe, d.SourceName, d.Priority, d.SyncAddress, d.Sequence, d.Options, d.StartCode, len(d.Slots))
}

// AppendBinary appends 126 + len(Slots) bytes. Errors wrap ErrUniverse,
// ErrPriority or ErrCount. It allocates only to grow b.
func (d *Data) AppendBinary(b []byte) ([]byte, error) {
	if err := d.check(); err != nil {
		return b, err
	}
	size := DataSlotsAt + len(d.Slots)
	b = appendLayers(b, size, rootData, &d.CID, framingData)
	b = append(b, d.SourceName[:]...)
	b = append(b, d.Priority)
	b = binary.BigEndian.AppendUint16(b, uint16(d.SyncAddress))
	b = append(b, d.Sequence, uint8(d.Options&optionsKnown))
	b = binary.BigEndian.AppendUint16(b, uint16(d.Universe))
	b = binary.BigEndian.AppendUint16(b, flagsAndLength(size-dmpAt))
	b = append(b, dmpFormat...)
	b = binary.BigEndian.AppendUint16(b, uint16(len(d.Slots)+1))
	b = append(b, d.StartCode)
	return append(b, d.Slots...), nil
}

// Parse decodes b into d, leaving nothing of what d held. Slots becomes a part
// of b. It makes nothing. Errors wrap ErrNotACN, ErrShort, ErrVector, ErrLength,
// ErrFormat, ErrCount, ErrUniverse or ErrPriority, and leave d as it was.
func (d *Data) Parse(b []byte) error {
	end, err := layers(b, KindData, DataSlotsAt)
	if err != nil {
		return err
	}
	if err := layer(b, KindData, dmpAt, end); err != nil {
		return err
	}
	if got := b[dmpAt+2 : dmpAt+2+len(dmpFormat)]; string(got) != dmpFormat {
		return fmt.Errorf("sacn: %v: %w: got %x, need %x", KindData, ErrFormat, got, dmpFormat)
	}
	if got, need := int(binary.BigEndian.Uint16(b[123:])), end-DataSlotsAt+1; got != need {
		return fmt.Errorf("sacn: %v: %w: got %d properties, the lengths say %d", KindData, ErrCount, got, need)
	}
	got := Data{
		CID:         CID(b[cidAt:]),
		SourceName:  nameFrom(b[bodyAt:108]),
		Priority:    b[108],
		SyncAddress: Universe(binary.BigEndian.Uint16(b[109:])),
		Sequence:    b[DataSequenceAt],
		Options:     Options(b[DataOptionsAt]) & optionsKnown,
		Universe:    Universe(binary.BigEndian.Uint16(b[113:])),
		StartCode:   b[125],
		Slots:       b[DataSlotsAt:end:end],
	}
	if err := got.check(); err != nil {
		return err
	}
	*d = got
	return nil
}

func (d *Data) check() error {
	if err := d.Universe.check(KindData); err != nil {
		return err
	}
	if d.SyncAddress != 0 {
		if err := d.SyncAddress.check(KindData); err != nil {
			return fmt.Errorf("%w: synchronization address", err)
		}
	}
	if d.Priority > MaxPriority {
		return fmt.Errorf("sacn: %v: %w: got %d, need 0..%d", KindData, ErrPriority, d.Priority, MaxPriority)
	}
	if n := len(d.Slots); n > MaxSlots {
		return fmt.Errorf("sacn: %v: %w: got %d slots, need at most %d", KindData, ErrCount, n, MaxSlots)
	}
	return nil
}
