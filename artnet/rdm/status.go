package rdm

import (
	"encoding/binary"
	"fmt"
)

// StatusType is how grave a status is, ANSI E1.20 table A-4. It is also the data
// of GET QUEUED_MESSAGE and GET STATUS_MESSAGES: what is asked for, and what is
// graver.
type StatusType uint8

// The status types.
const (
	StatusNone            StatusType = 0x00 // not in QUEUED_MESSAGE
	StatusGetLast         StatusType = 0x01 // the last message once more
	StatusAdvisory        StatusType = 0x02
	StatusWarning         StatusType = 0x03
	StatusError           StatusType = 0x04
	StatusAdvisoryCleared StatusType = 0x12
	StatusWarningCleared  StatusType = 0x13
	StatusErrorCleared    StatusType = 0x14
)

// String is a word for the type.
func (s StatusType) String() string {
	switch s {
	case StatusNone:
		return "none"
	case StatusGetLast:
		return "last"
	case StatusAdvisory:
		return "advisory"
	case StatusWarning:
		return "warning"
	case StatusError:
		return "error"
	case StatusAdvisoryCleared:
		return "advisory cleared"
	case StatusWarningCleared:
		return "warning cleared"
	case StatusErrorCleared:
		return "error cleared"
	}
	return fmt.Sprintf("status type 0x%02x", uint8(s))
}

// AppendBinary appends 1 byte. The error is always nil.
func (s StatusType) AppendBinary(b []byte) ([]byte, error) { return append(b, uint8(s)), nil }

// Parse reads 1 byte. Errors wrap ErrFormat, or ErrRange for a type that cannot
// be asked for.
func (s *StatusType) Parse(b []byte) error {
	if err := exactly(b, "a status type", 1); err != nil {
		return err
	}
	if b[0] > uint8(StatusError) {
		return fmt.Errorf("rdm: %w: status type 0x%02x, need 0..4", ErrRange, b[0])
	}
	*s = StatusType(b[0])
	return nil
}

const (
	statusMessageSize  = 9
	mostStatusMessages = MaxData / statusMessageSize
)

// StatusMessage is one status of a device. ANSI E1.20 section 10.3.2; what the
// values mean is said by STATUS_ID_DESCRIPTION or, below 0x8000, by Appendix B:
//
//	0  sub-device, 2    2  type    3  message, 2    5  value 1, 2    7  value 2, 2
type StatusMessage struct {
	SubDevice      uint16
	Type           StatusType
	ID             uint16
	Value1, Value2 int16
}

// String is one line for a log.
func (s StatusMessage) String() string {
	return fmt.Sprintf("%v 0x%04x of sub-device %d: %d, %d", s.Type, s.ID, s.SubDevice, s.Value1, s.Value2)
}

// StatusMessages are the data of the STATUS_MESSAGES response, which also answers
// GET QUEUED_MESSAGE when nothing else waits: at most 25, none when there is
// nothing to say.
type StatusMessages []StatusMessage

// AppendBinary appends 9 * len(s) bytes. Errors wrap ErrFormat.
func (s StatusMessages) AppendBinary(b []byte) ([]byte, error) {
	if err := atMost(len(s), "status messages", mostStatusMessages); err != nil {
		return b, err
	}
	for _, m := range s {
		b = binary.BigEndian.AppendUint16(b, m.SubDevice)
		b = binary.BigEndian.AppendUint16(append(b, uint8(m.Type)), m.ID)
		b = appendInt16(appendInt16(b, m.Value1), m.Value2)
	}
	return b, nil
}

// Parse reads up to 225 bytes; the room of s is used again. Errors wrap
// ErrFormat.
func (s *StatusMessages) Parse(b []byte) error {
	if err := listOf(b, "STATUS_MESSAGES", statusMessageSize, mostStatusMessages); err != nil {
		return err
	}
	all := (*s)[:0]
	for ; len(b) > 0; b = b[statusMessageSize:] {
		all = append(all, StatusMessage{
			SubDevice: binary.BigEndian.Uint16(b), Type: StatusType(b[2]), ID: binary.BigEndian.Uint16(b[3:]), Value1: int16At(b, 5), Value2: int16At(b, 7),
		})
	}
	*s = all
	return nil
}

const commsStatusSize = 6

// CommsStatus is the data of the response to GET COMMS_STATUS: messages that a
// device could not read since it was last cleared by a SET. ANSI E1.20 section
// 10.2:
//
//	0  short messages, 2    2  length mismatches, 2    4  checksum fails, 2
type CommsStatus struct{ Short, LengthMismatch, ChecksumFail uint16 }

// String is one line for a log.
func (c CommsStatus) String() string {
	return fmt.Sprintf("%d short, %d with a wrong length, %d with a wrong checksum", c.Short, c.LengthMismatch, c.ChecksumFail)
}

// AppendBinary appends 6 bytes. The error is always nil.
func (c CommsStatus) AppendBinary(b []byte) ([]byte, error) {
	b = binary.BigEndian.AppendUint16(b, c.Short)
	b = binary.BigEndian.AppendUint16(b, c.LengthMismatch)
	return binary.BigEndian.AppendUint16(b, c.ChecksumFail), nil
}

// Parse reads 6 bytes. Errors wrap ErrFormat.
func (c *CommsStatus) Parse(b []byte) error {
	if err := exactly(b, "COMMS_STATUS", commsStatusSize); err != nil {
		return err
	}
	*c = CommsStatus{
		Short: binary.BigEndian.Uint16(b), LengthMismatch: binary.BigEndian.Uint16(b[2:]), ChecksumFail: binary.BigEndian.Uint16(b[4:]),
	}
	return nil
}
