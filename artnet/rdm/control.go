package rdm

import (
	"encoding/binary"
	"fmt"
)

// Identify is whether a device shows itself: the data of GET and SET
// IDENTIFY_DEVICE. ANSI E1.20 section 10.11.1.
type Identify bool

// AppendBinary appends 1 byte. The error is always nil.
func (i Identify) AppendBinary(b []byte) ([]byte, error) {
	if i {
		return append(b, 1), nil
	}
	return append(b, 0), nil
}

// Parse reads 1 byte. Errors wrap ErrFormat, or ErrRange for neither 0 nor 1.
func (i *Identify) Parse(b []byte) error {
	if err := exactly(b, "IDENTIFY_DEVICE", 1); err != nil {
		return err
	}
	if b[0] > 1 {
		return fmt.Errorf("rdm: %w: identify %d, need 0 or 1", ErrRange, b[0])
	}
	*i = b[0] == 1
	return nil
}

// Reset is the data of SET RESET_DEVICE. ANSI E1.20 section 10.11.2.
type Reset uint8

// The two resets.
const (
	ResetWarm Reset = 0x01
	ResetCold Reset = 0xff // as if the power had been off
)

// String is "warm" or "cold".
func (r Reset) String() string {
	switch r {
	case ResetWarm:
		return "warm"
	case ResetCold:
		return "cold"
	}
	return fmt.Sprintf("reset 0x%02x", uint8(r))
}

// AppendBinary appends 1 byte. The error is always nil.
func (r Reset) AppendBinary(b []byte) ([]byte, error) { return append(b, uint8(r)), nil }

// Parse reads 1 byte. Errors wrap ErrFormat, or ErrRange for neither reset.
func (r *Reset) Parse(b []byte) error {
	if err := exactly(b, "RESET_DEVICE", 1); err != nil {
		return err
	}
	if got := Reset(b[0]); got != ResetWarm && got != ResetCold {
		return fmt.Errorf("rdm: %w: %v, need 0x01 warm or 0xff cold", ErrRange, got)
	}
	*r = Reset(b[0])
	return nil
}

// Hours is a running time: the data of GET and SET DEVICE_HOURS and LAMP_HOURS.
// ANSI E1.20 sections 10.8.1 and 10.8.2.
type Hours uint32

// AppendBinary appends 4 bytes. The error is always nil.
func (h Hours) AppendBinary(b []byte) ([]byte, error) {
	return binary.BigEndian.AppendUint32(b, uint32(h)), nil
}

// Parse reads 4 bytes. Errors wrap ErrFormat.
func (h *Hours) Parse(b []byte) error {
	if err := exactly(b, "hours", 4); err != nil {
		return err
	}
	*h = Hours(binary.BigEndian.Uint32(b))
	return nil
}
