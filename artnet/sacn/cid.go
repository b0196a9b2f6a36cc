package sacn

import (
	"crypto/rand"
	"crypto/sha1"
	"encoding/hex"
	"fmt"
)

// CID is a component identifier, a UUID of RFC 4122: it says which source a
// packet is from, and is the same for as long as the source lives. ANSI E1.31
// section 5.6.
type CID [16]byte

// RandomCID makes a new identifier, a version 4 UUID.
func RandomCID() CID {
	var c CID
	_, _ = rand.Read(c[:]) // never fails
	c[6] = c[6]&0x0f | 4<<4
	c[8] = c[8]&0x3f | 0x80
	return c
}

// NameCID makes the identifier that a name has in a name space, a version 5 UUID
// of RFC 4122 section 4.3: the same name is the same identifier every time.
func NameCID(space CID, name string) CID {
	sum := sha1.Sum(append(space[:], name...))
	c := CID(sum[:16])
	c[6] = c[6]&0x0f | 5<<4
	c[8] = c[8]&0x3f | 0x80
	return c
}

// dashes are the places of the hyphens in a UUID of 36 characters.
var dashes = [...]int{8, 13, 18, 23}

// ParseCID reads xxxxxxxx-xxxx-xxxx-xxxx-xxxxxxxxxxxx. Errors wrap ErrCID.
func ParseCID(text string) (CID, error) {
	var c CID
	bad := fmt.Errorf("sacn: %w: %q, need the form 00000000-0000-0000-0000-000000000000", ErrCID, text)
	if len(text) != 36 {
		return c, bad
	}
	digits := make([]byte, 0, 32)
	for i := range len(text) {
		if i == dashes[0] || i == dashes[1] || i == dashes[2] || i == dashes[3] {
			if text[i] != '-' {
				return c, bad
			}
			continue
		}
		digits = append(digits, text[i])
	}
	if _, err := hex.Decode(c[:], digits); err != nil {
		return CID{}, bad
	}
	return c, nil
}

// String is the UUID in small letters.
func (c CID) String() string {
	return fmt.Sprintf("%x-%x-%x-%x-%x", c[:4], c[4:6], c[6:8], c[8:10], c[10:])
}
