package rdm

import (
	"encoding/binary"
	"fmt"
	"time"
)

// Response is the response type, ANSI E1.20 section 6.3.
type Response uint8

// The response types.
const (
	ResponseAck      Response = 0
	ResponseTimer    Response = 1 // ask QUEUED_MESSAGE after AckTimer
	ResponseNack     Response = 2 // refused: NackReason
	ResponseOverflow Response = 3 // more follows: repeat the GET and join the data
)

// String is the standard's name.
func (r Response) String() string {
	names := [...]string{"ACK", "ACK_TIMER", "NACK_REASON", "ACK_OVERFLOW"}
	if int(r) < len(names) {
		return names[r]
	}
	return fmt.Sprintf("response type %d", uint8(r))
}

const responseDataSize = 2

// AckTimer is the data of ResponseTimer: tenths of a second until the answer is
// ready. ANSI E1.20 section 6.3.3.
type AckTimer uint16

// Duration is up to 1 h 49 min.
func (a AckTimer) Duration() time.Duration { return time.Duration(a) * (time.Second / 10) }

// String is the duration.
func (a AckTimer) String() string { return "ready in " + a.Duration().String() }

// AppendBinary appends 2 bytes. The error is always nil.
func (a AckTimer) AppendBinary(b []byte) ([]byte, error) {
	return binary.BigEndian.AppendUint16(b, uint16(a)), nil
}

// Parse reads 2 bytes. Errors wrap ErrFormat.
func (a *AckTimer) Parse(b []byte) error {
	if err := exactly(b, "ACK_TIMER", responseDataSize); err != nil {
		return err
	}
	*a = AckTimer(binary.BigEndian.Uint16(b))
	return nil
}

// NackReason is the data of ResponseNack: why a request was refused. ANSI E1.20
// table A-17; from 0x000b on E1.37-2, E1.37-7 and E1.33.
type NackReason uint16

// The reasons of ANSI E1.20.
const (
	NackUnknownPID      NackReason = 0x0000
	NackFormat          NackReason = 0x0001
	NackHardwareFault   NackReason = 0x0002
	NackProxyReject     NackReason = 0x0003
	NackWriteProtect    NackReason = 0x0004
	NackClass           NackReason = 0x0005
	NackRange           NackReason = 0x0006
	NackBufferFull      NackReason = 0x0007
	NackPacketSize      NackReason = 0x0008
	NackSubDevice       NackReason = 0x0009
	NackProxyBufferFull NackReason = 0x000a
	NackAction          NackReason = 0x000b
)

var nackReasons = [...]string{
	"unknown PID", "format error", "hardware fault", "proxy reject", "write protect", "unsupported command class",
	"data out of range", "buffer full", "packet size unsupported", "sub-device out of range", "proxy buffer full",
	"action not supported", "endpoint number invalid", "invalid endpoint mode", "unknown UID", "unknown scope",
	"invalid static config type", "invalid IPv4 address", "invalid IPv6 address", "invalid port",
}

// String is the reason in words.
func (n NackReason) String() string {
	if int(n) < len(nackReasons) {
		return nackReasons[n]
	}
	return fmt.Sprintf("reason 0x%04x", uint16(n))
}

// AppendBinary appends 2 bytes. The error is always nil.
func (n NackReason) AppendBinary(b []byte) ([]byte, error) {
	return binary.BigEndian.AppendUint16(b, uint16(n)), nil
}

// Parse reads 2 bytes. Errors wrap ErrFormat.
func (n *NackReason) Parse(b []byte) error {
	if err := exactly(b, "NACK_REASON", responseDataSize); err != nil {
		return err
	}
	*n = NackReason(binary.BigEndian.Uint16(b))
	return nil
}
