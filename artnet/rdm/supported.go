package rdm

import (
	"encoding/binary"
	"fmt"
)

const mostPIDs = MaxData / pidSize

// PIDs are the data of the response to GET SUPPORTED_PARAMETERS: what a device
// knows beyond the parameters that all must. At most 115 to a message. ANSI
// E1.20 section 10.4.1.
type PIDs []PID

// AppendBinary appends 2 * len(p) bytes. Errors wrap ErrFormat.
func (p PIDs) AppendBinary(b []byte) ([]byte, error) {
	if err := atMost(len(p), "parameters", mostPIDs); err != nil {
		return b, err
	}
	for _, id := range p {
		b = binary.BigEndian.AppendUint16(b, uint16(id))
	}
	return b, nil
}

// Parse reads up to 230 bytes; the room of p is used again. Errors wrap
// ErrFormat.
func (p *PIDs) Parse(b []byte) error {
	if err := listOf(b, "SUPPORTED_PARAMETERS", pidSize, mostPIDs); err != nil {
		return err
	}
	ids := (*p)[:0]
	for ; len(b) > 0; b = b[pidSize:] {
		ids = append(ids, PID(binary.BigEndian.Uint16(b)))
	}
	*p = ids
	return nil
}

// DataType is how the data of a manufacturer's parameter is to be read, ANSI
// E1.20 table A-15. 0x80 to 0xDF are the manufacturer's.
type DataType uint8

// The data types.
const (
	DataNotDefined DataType = 0
	DataBitField   DataType = 1
	DataASCII      DataType = 2
	DataUint8      DataType = 3
	DataInt8       DataType = 4
	DataUint16     DataType = 5
	DataInt16      DataType = 6
	DataUint32     DataType = 7
	DataInt32      DataType = 8
)

// String is a word for the type.
func (d DataType) String() string {
	names := [...]string{"not defined", "bit field", "ASCII", "uint8", "int8", "uint16", "int16", "uint32", "int32"}
	if int(d) < len(names) {
		return names[d]
	}
	return fmt.Sprintf("data type 0x%02x", uint8(d))
}

// Classes that a manufacturer's parameter has, ANSI E1.20 table A-16.
const (
	ClassesGet    = 1
	ClassesSet    = 2
	ClassesGetSet = 3
)

const parameterDescriptionLeast = 20

// ParameterDescription is the data of the response to GET
// PARAMETER_DESCRIPTION: what a manufacturer's own parameter is. ANSI E1.20
// section 10.4.2:
//
//	0  PID, 2 bytes       6   unit            12  most valid value, 4
//	2  PDL size           7   prefix          16  default value, 4
//	3  data type          8   least valid     20  description, up to 32
//	4  command classes        value, 4
//	5  type, 0
type ParameterDescription struct {
	PID      PID
	Size     uint8 // most bytes of its data
	DataType DataType
	Classes  uint8
	Unit     Unit
	Prefix   Prefix
	// Least, Most and Default are to be read as DataType says; narrower ones
	// are in the low bytes.
	Least, Most, Default uint32
	Description          Label
}

// String is one line for a log.
func (p ParameterDescription) String() string {
	return fmt.Sprintf("%v %q: %v of up to %d bytes, %d..%d, default %d, %v x 10^%d",
		p.PID, string(p.Description), p.DataType, p.Size, p.Least, p.Most, p.Default, p.Unit, p.Prefix.Power())
}

// AppendBinary appends 20 bytes and the description. Errors wrap ErrLabel.
func (p ParameterDescription) AppendBinary(b []byte) ([]byte, error) {
	kept := b
	b = binary.BigEndian.AppendUint16(b, uint16(p.PID))
	b = append(b, p.Size, uint8(p.DataType), p.Classes, 0, uint8(p.Unit), uint8(p.Prefix))
	b = binary.BigEndian.AppendUint32(b, p.Least)
	b = binary.BigEndian.AppendUint32(b, p.Most)
	b = binary.BigEndian.AppendUint32(b, p.Default)
	return appendLabel(kept, b, p.Description)
}

// Parse reads 20 to 52 bytes. Errors wrap ErrFormat.
func (p *ParameterDescription) Parse(b []byte) error {
	if err := withLabel(b, "PARAMETER_DESCRIPTION", parameterDescriptionLeast); err != nil {
		return err
	}
	got := ParameterDescription{
		PID: PID(binary.BigEndian.Uint16(b)), Size: b[2], DataType: DataType(b[3]), Classes: b[4], Unit: Unit(b[6]), Prefix: Prefix(b[7]),
		Least: binary.BigEndian.Uint32(b[8:]), Most: binary.BigEndian.Uint32(b[12:]), Default: binary.BigEndian.Uint32(b[16:]),
		Description: p.Description,
	}
	_ = got.Description.Parse(b[parameterDescriptionLeast:]) // takes anything
	*p = got
	return nil
}

// appendLabel appends a label to b, or returns kept.
func appendLabel(kept, b []byte, l Label) ([]byte, error) {
	b, err := l.AppendBinary(b)
	if err != nil {
		return kept, err
	}
	return b, nil
}

// withLabel checks the length of data that ends with a label.
func withLabel(b []byte, what string, least int) error {
	if len(b) < least || len(b) > least+MaxLabel {
		return fmt.Errorf("rdm: %w: got %d bytes for %s, need %d to %d", ErrFormat, len(b), what, least, least+MaxLabel)
	}
	return nil
}
