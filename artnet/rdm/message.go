package rdm

import (
	"encoding/binary"
	"fmt"
)

// Sizes of a message with its START code, ANSI E1.20 section 6.2.
const (
	MaxData = 231 // bytes of parameter data

	headSize     = 24 // START code to parameter data length
	checksumSize = 2

	MinSize = headSize + checksumSize
	MaxSize = MinSize + MaxData
)

const (
	startCode    = 0xcc // SC_RDM
	subStartCode = 0x01 // SC_SUB_MESSAGE
)

// Sub-devices with a meaning of their own; the others are 1..512.
const (
	RootDevice     uint16 = 0
	LastSubDevice  uint16 = 512
	EverySubDevice uint16 = 0xffff // SUB_DEVICE_ALL_CALL, asked for by SET only
)

// Message is one request or response. ANSI E1.20 section 6.2, slots counted from
// the START code:
//
//	0   START code 0xCC        16  Port ID, or response type
//	1   Sub-START code 0x01    17  Message count
//	2   Message length         18  Sub-device, 2 bytes
//	3   Destination UID        20  Command class
//	9   Source UID             21  Parameter ID, 2 bytes
//	15  Transaction number     23  Parameter data length
//	                           24  Parameter data, then the checksum, 2 bytes
type Message struct {
	Destination, Source UID
	Transaction         uint8    // counts requests; a response repeats it
	PortID              uint8    // requests: 1..255, the port of the asker
	Response            Response // responses
	Count               uint8    // responses: messages that wait to be asked for; else 0
	SubDevice           uint16   // RootDevice, 1..512 or EverySubDevice
	Class               Class
	PID                 PID
	Data                []byte // at most 231 bytes
}

// Reply is the response to m of the device that it is for: from it, to the
// asker, of the same transaction, sub-device and parameter.
func (m *Message) Reply(from UID, response Response, data []byte) Message {
	return Message{
		Destination: m.Source, Source: from, Transaction: m.Transaction, Response: response,
		SubDevice: m.SubDevice, Class: m.Class.Answer(), PID: m.PID, Data: data,
	}
}

// Answers reports whether m is the response to a request: between the same two,
// of the same transaction, sub-device and parameter and of the class that
// answers it. QUEUED_MESSAGE is answered by any parameter and class but
// discovery, for any sub-device.
func (m *Message) Answers(request *Message) bool {
	if m.Source != request.Destination || m.Destination != request.Source || m.Transaction != request.Transaction || !m.Class.IsResponse() {
		return false
	}
	if request.PID == PIDQueuedMessage {
		return m.Class != DiscoveryResponse
	}
	return m.Class == request.Class.Answer() && m.PID == request.PID && m.SubDevice == request.SubDevice
}

// Checksum is the sum of slots, mod 65536. The START code counts.
func Checksum(slots []byte) uint16 {
	var sum uint16
	for _, slot := range slots {
		sum += uint16(slot)
	}
	return sum
}

// AppendBinary appends 26 + len(Data) bytes, from the START code to the
// checksum. Errors wrap ErrLength. It allocates only to grow b.
func (m *Message) AppendBinary(b []byte) ([]byte, error) {
	if err := m.checkData(); err != nil {
		return b, err
	}
	return m.append(append(b, startCode)), nil
}

// AppendWithoutStart appends 25 + len(Data) bytes, from the sub-START code to
// the checksum, which counts the START code all the same: the form of ArtRdm.
// Errors wrap ErrLength. It allocates only to grow b.
func (m *Message) AppendWithoutStart(b []byte) ([]byte, error) {
	if err := m.checkData(); err != nil {
		return b, err
	}
	return m.append(b), nil
}

func (m *Message) checkData() error {
	if n := len(m.Data); n > MaxData {
		return fmt.Errorf("rdm: %v: %w: got %d bytes of data, need at most %d", m.PID, ErrLength, n, MaxData)
	}
	return nil
}

func (m *Message) append(b []byte) []byte {
	from := len(b)
	b = append(b, subStartCode, uint8(headSize+len(m.Data)))
	b = append(b, m.Destination[:]...)
	b = append(b, m.Source[:]...)
	role := m.PortID
	if m.Class.IsResponse() {
		role = uint8(m.Response)
	}
	b = append(b, m.Transaction, role, m.Count)
	b = binary.BigEndian.AppendUint16(b, m.SubDevice)
	b = append(b, uint8(m.Class))
	b = binary.BigEndian.AppendUint16(b, uint16(m.PID))
	b = append(b, uint8(len(m.Data)))
	b = append(b, m.Data...)
	return binary.BigEndian.AppendUint16(b, startCode+Checksum(b[from:]))
}

// Parse decodes a message that starts with its START code, leaving nothing of
// what m held. Data becomes a part of b, or nil. Bytes after the checksum are
// ignored. Errors wrap ErrStart, ErrShort, ErrLength or ErrChecksum, and leave m
// as it was.
func (m *Message) Parse(b []byte) error {
	if len(b) == 0 || b[0] != startCode {
		return fmt.Errorf("rdm: %w: %d bytes that do not start with 0x%02x", ErrStart, len(b), startCode)
	}
	return m.ParseWithoutStart(b[1:])
}

// ParseWithoutStart is Parse for a message without its START code, as in an
// ArtRdm.
func (m *Message) ParseWithoutStart(b []byte) error {
	if len(b) == 0 || b[0] != subStartCode {
		return fmt.Errorf("rdm: %w: %d bytes that do not start with sub-START code 0x%02x", ErrStart, len(b), subStartCode)
	}
	if len(b) < MinSize-1 {
		return fmt.Errorf("rdm: %w: got %d bytes, need %d without the START code", ErrShort, len(b), MinSize-1)
	}
	length, dataLength := int(b[1]), int(b[22])
	if length != headSize+dataLength {
		return fmt.Errorf("rdm: %w: got %d, need %d for %d bytes of data", ErrLength, length, headSize+dataLength, dataLength)
	}
	end := length - 1 // without the START code
	if len(b) < end+checksumSize {
		return fmt.Errorf("rdm: %w: got %d bytes, the message says %d", ErrShort, len(b), end+checksumSize)
	}
	if got, need := binary.BigEndian.Uint16(b[end:]), startCode+Checksum(b[:end]); got != need {
		return fmt.Errorf("rdm: %w: got 0x%04x, need 0x%04x", ErrChecksum, got, need)
	}
	*m = Message{
		Destination: UID(b[2:]), Source: UID(b[8:]), Transaction: b[14], Count: b[16], SubDevice: binary.BigEndian.Uint16(b[17:]),
		Class: Class(b[19]), PID: PID(binary.BigEndian.Uint16(b[20:])),
	}
	if m.Class.IsResponse() {
		m.Response = Response(b[15])
	} else {
		m.PortID = b[15]
	}
	if dataLength > 0 {
		m.Data = b[headSize-1 : end : end]
	}
	return nil
}

// String is one line for a log: what, from whom, to whom, and the reason of a
// NACK.
func (m *Message) String() string {
	what := fmt.Sprintf("%v %v, %v to %v", m.Class, m.PID, m.Source, m.Destination)
	if m.SubDevice != RootDevice {
		what += fmt.Sprintf(", sub-device %d", m.SubDevice)
	}
	what += fmt.Sprintf(", transaction %d", m.Transaction)
	if m.Class.IsResponse() {
		what += fmt.Sprintf(", %v", m.Response)
		var reason NackReason
		if m.Response == ResponseNack && reason.Parse(m.Data) == nil {
			return what + ": " + reason.String()
		}
	}
	return what + fmt.Sprintf(", %d bytes", len(m.Data))
}
