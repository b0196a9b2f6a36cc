package artnet

import (
	"encoding/binary"
	"fmt"
)

// MaxDiagText is the most bytes of an ArtDiagData text, without its NUL.
const MaxDiagText = 511

const diagDataTextAt = 18

// DiagData is ArtDiagData: a device says something for people to read.
// Art-Net 4, section "ArtDiagData":
//
//	12  Filler          14  LogicalPort    16  Length, 2 bytes, with the NUL
//	13  DiagPriority    15  Filler         18  text and NUL
type DiagData struct {
	Priority DiagPriority
	Port     uint8  // 0 for the whole device
	Text     string // ASCII, at most 511 bytes
}

// OpCode is OpDiagData.
func (*DiagData) OpCode() OpCode { return OpDiagData }

// String is the priority, the port and the text.
func (d *DiagData) String() string {
	return fmt.Sprintf("%v %v, port %d: %q", OpDiagData, d.Priority, d.Port, d.Text)
}

// AppendBinary appends 19 + len(Text) bytes. Errors wrap ErrText.
func (d *DiagData) AppendBinary(b []byte) ([]byte, error) {
	if err := checkText(OpDiagData, "text", d.Text, MaxDiagText); err != nil {
		return b, err
	}
	b = append(appendHeader(b, OpDiagData), 0, uint8(d.Priority), d.Port, 0)
	b = binary.BigEndian.AppendUint16(b, uint16(len(d.Text)+1))
	b = append(b, d.Text...)
	return append(b, 0), nil
}

// Parse decodes b into d, leaving nothing of what d held and keeping nothing of
// b. The text ends at its NUL, at Length, at 511 bytes or with the packet,
// whichever is first. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort or
// ErrVersion, and leave d as it was.
func (d *DiagData) Parse(b []byte) error {
	if err := header(b, OpDiagData, diagDataTextAt); err != nil {
		return err
	}
	n := min(int(binary.BigEndian.Uint16(b[16:])), MaxDiagText, len(b)-diagDataTextAt)
	*d = DiagData{Priority: DiagPriority(b[13]), Port: b[14], Text: untilNUL(b[diagDataTextAt : diagDataTextAt+n])}
	return nil
}
