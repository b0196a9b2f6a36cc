package rdm

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
)

// UIDSize is the number of bytes of a UID.
const UIDSize = 6

// UID names one device of the world: 2 bytes of ESTA manufacturer, 4 of device,
// most significant first. ANSI E1.20 section 5. The zero UID is nobody's.
type UID [UIDSize]byte

// everyDevice is the device part that means all devices.
const everyDevice = 0xffffffff

// NewUID joins a manufacturer and a device.
func NewUID(manufacturer uint16, device uint32) UID {
	var u UID
	binary.BigEndian.PutUint16(u[:], manufacturer)
	binary.BigEndian.PutUint32(u[2:], device)
	return u
}

// Broadcast is the UID of all devices, FFFF:FFFFFFFF.
func Broadcast() UID { return NewUID(0xffff, everyDevice) }

// BroadcastTo is the UID of all devices of a manufacturer.
func BroadcastTo(manufacturer uint16) UID { return NewUID(manufacturer, everyDevice) }

// ParseUID reads "MMMM:DDDDDDDD", hexadecimal in either case. Errors wrap
// ErrUID.
func ParseUID(text string) (UID, error) {
	var u UID
	if len(text) == 13 && text[4] == ':' {
		if _, err := hex.Decode(u[:], []byte(text[:4]+text[5:])); err == nil {
			return u, nil
		}
	}
	return UID{}, fmt.Errorf("rdm: %w: %q, need the form 7FF0:00000001", ErrUID, text)
}

// Manufacturer is the ESTA manufacturer code; 0x7FF0..0x7FFF is for prototypes.
func (u UID) Manufacturer() uint16 { return binary.BigEndian.Uint16(u[:]) }

// Device is the number of the device among its manufacturer's.
func (u UID) Device() uint32 { return binary.BigEndian.Uint32(u[2:]) }

// IsBroadcast reports whether u means several devices. They do not answer.
func (u UID) IsBroadcast() bool { return u.Device() == everyDevice }

// Reaches reports whether a message to u is for the device v: to it, to all of
// its manufacturer or to all.
func (u UID) Reaches(v UID) bool {
	return u == v || u == Broadcast() || u.IsBroadcast() && u.Manufacturer() == v.Manufacturer()
}

// Compare orders UIDs as 48-bit numbers, as discovery does: -1, 0 or 1.
func (u UID) Compare(v UID) int { return bytes.Compare(u[:], v[:]) }

// String is "MMMM:DDDDDDDD".
func (u UID) String() string { return fmt.Sprintf("%04X:%08X", u.Manufacturer(), u.Device()) }
