package rdm

import (
	"encoding/binary"
	"fmt"
)

// Branch is the data of DISC_UNIQUE_BRANCH: devices that are not muted and have
// a UID in this range, both ends included, are to answer. ANSI E1.20 section
// 7.5:
//
//	0  lower bound UID    6  upper bound UID
type Branch struct{ Lower, Upper UID }

// Contains reports whether a device is asked.
func (r Branch) Contains(u UID) bool { return u.Compare(r.Lower) >= 0 && u.Compare(r.Upper) <= 0 }

// AppendBinary appends 12 bytes. The error is always nil.
func (r Branch) AppendBinary(b []byte) ([]byte, error) {
	return append(append(b, r.Lower[:]...), r.Upper[:]...), nil
}

// Parse reads 12 bytes. Errors wrap ErrFormat.
func (r *Branch) Parse(b []byte) error {
	if err := exactly(b, "DISC_UNIQUE_BRANCH", 2*UIDSize); err != nil {
		return err
	}
	*r = Branch{Lower: UID(b), Upper: UID(b[UIDSize:])}
	return nil
}

// The reply to DISC_UNIQUE_BRANCH has no START code, so that several at once
// are known by their wrong checksum. ANSI E1.20 section 7.5:
//
//	0   0xFE, 7 times or fewer
//	7   0xAA
//	8   each byte of the UID twice: b OR 0xAA, b OR 0x55
//	20  the sum of those 12 bytes in the same way
const (
	branchPreamble     = 0xfe
	branchPreambleMost = 7
	branchSeparator    = 0xaa
	evenBits, oddBits  = 0xaa, 0x55

	// BranchReplySize is the number of bytes of a whole branch reply.
	BranchReplySize = branchPreambleMost + 1 + branchBodySize
	branchBodySize  = 2*UIDSize + 2*checksumSize
)

// AppendBranchReply appends the 24 bytes that a device answers
// DISC_UNIQUE_BRANCH with.
func AppendBranchReply(b []byte, u UID) []byte {
	for range branchPreambleMost {
		b = append(b, branchPreamble)
	}
	b = append(b, branchSeparator)
	from := len(b)
	for _, c := range u {
		b = append(b, c|evenBits, c|oddBits)
	}
	sum := Checksum(b[from:])
	hi, lo := uint8(sum>>8), uint8(sum)
	return append(b, hi|evenBits, hi|oddBits, lo|evenBits, lo|oddBits)
}

// ParseBranchReply reads the reply of one device. Up to 7 bytes of preamble may
// be missing; bytes after the checksum are ignored. Errors wrap ErrShort, or
// ErrCollision where the bytes are not what one device sends. A collision can
// still look like one device; the answer to DISC_MUTE tells.
func ParseBranchReply(b []byte) (UID, error) {
	var u UID
	skip := 0
	for skip < len(b) && skip < branchPreambleMost && b[skip] == branchPreamble {
		skip++
	}
	if len(b) < skip+1+branchBodySize {
		return u, fmt.Errorf("rdm: branch reply: %w: got %d bytes, need %d after %d of preamble", ErrShort, len(b), 1+branchBodySize, skip)
	}
	if b[skip] != branchSeparator {
		return u, fmt.Errorf("rdm: %w: got 0x%02x after %d bytes of preamble, need 0x%02x", ErrCollision, b[skip], skip, branchSeparator)
	}
	body := b[skip+1 : skip+1+branchBodySize]
	var plain [UIDSize + checksumSize]byte
	for i := range plain {
		even, odd := body[2*i], body[2*i+1]
		plain[i] = even & odd
		if even != plain[i]|evenBits || odd != plain[i]|oddBits {
			return u, fmt.Errorf("rdm: %w: 0x%02x 0x%02x is no byte", ErrCollision, even, odd)
		}
	}
	if got, need := binary.BigEndian.Uint16(plain[UIDSize:]), Checksum(body[:2*UIDSize]); got != need {
		return u, fmt.Errorf("rdm: %w: checksum 0x%04x, need 0x%04x", ErrCollision, got, need)
	}
	return UID(plain[:]), nil
}

// MuteFlags are the control field of a mute response.
type MuteFlags uint16

// The control bits of ANSI E1.20 section 7.6.
const (
	MuteManagedProxy MuteFlags = 1 << 0 // stands for other devices
	MuteSubDevices   MuteFlags = 1 << 1
	MuteBootLoader   MuteFlags = 1 << 2 // waits for its firmware
	MuteProxied      MuteFlags = 1 << 3 // a proxy answered for it
)

// Mute is the data of the response to DISC_MUTE and DISC_UN_MUTE. ANSI E1.20
// section 7.6:
//
//	0  Control Field, 2 bytes    2  Binding UID, if the device has several ports
type Mute struct {
	Flags   MuteFlags
	Binding UID // zero where there is none
}

// AppendBinary appends 2 or 8 bytes. The error is always nil.
func (m Mute) AppendBinary(b []byte) ([]byte, error) {
	b = binary.BigEndian.AppendUint16(b, uint16(m.Flags))
	if m.Binding != (UID{}) {
		b = append(b, m.Binding[:]...)
	}
	return b, nil
}

// Parse reads 2 or 8 bytes. Errors wrap ErrFormat.
func (m *Mute) Parse(b []byte) error {
	if len(b) != 2 && len(b) != 2+UIDSize {
		return fmt.Errorf("rdm: %w: got %d bytes for a mute response, need 2 or %d", ErrFormat, len(b), 2+UIDSize)
	}
	*m = Mute{Flags: MuteFlags(binary.BigEndian.Uint16(b))}
	if len(b) > 2 {
		m.Binding = UID(b[2:])
	}
	return nil
}
