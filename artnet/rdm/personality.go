package rdm

import (
	"encoding/binary"
	"fmt"
)

// Personality is the data of the response to GET DMX_PERSONALITY. ANSI E1.20
// section 10.6.1:
//
//	0  current personality, from 1    1  number of personalities
type Personality struct{ Current, Count uint8 }

// String is "2 of 3".
func (p Personality) String() string { return fmt.Sprintf("%d of %d", p.Current, p.Count) }

// AppendBinary appends 2 bytes. The error is always nil.
func (p Personality) AppendBinary(b []byte) ([]byte, error) {
	return append(b, p.Current, p.Count), nil
}

// Parse reads 2 bytes. Errors wrap ErrFormat.
func (p *Personality) Parse(b []byte) error {
	if err := exactly(b, "DMX_PERSONALITY", 2); err != nil {
		return err
	}
	*p = Personality{Current: b[0], Count: b[1]}
	return nil
}

// PersonalityNumber is a personality, from 1: the data of SET DMX_PERSONALITY
// and of GET DMX_PERSONALITY_DESCRIPTION.
type PersonalityNumber uint8

// AppendBinary appends 1 byte. The error is always nil.
func (n PersonalityNumber) AppendBinary(b []byte) ([]byte, error) { return append(b, uint8(n)), nil }

// Parse reads 1 byte. Errors wrap ErrFormat, or ErrRange for 0.
func (n *PersonalityNumber) Parse(b []byte) error {
	if err := exactly(b, "a personality", 1); err != nil {
		return err
	}
	if b[0] == 0 {
		return fmt.Errorf("rdm: %w: personality 0, need 1 or more", ErrRange)
	}
	*n = PersonalityNumber(b[0])
	return nil
}

const personalityDescriptionLeast = 3

// PersonalityDescription is the data of the response to GET
// DMX_PERSONALITY_DESCRIPTION. ANSI E1.20 section 10.6.2:
//
//	0  personality    1  slots it takes, 2 bytes    3  text, up to 32
type PersonalityDescription struct {
	Number uint8
	Slots  uint16
	Text   Label
}

// String is one line for a log.
func (p PersonalityDescription) String() string {
	return fmt.Sprintf("personality %d, %d slots, %q", p.Number, p.Slots, string(p.Text))
}

// AppendBinary appends 3 bytes and the text. Errors wrap ErrLabel.
func (p PersonalityDescription) AppendBinary(b []byte) ([]byte, error) {
	return appendLabel(b, binary.BigEndian.AppendUint16(append(b, p.Number), p.Slots), p.Text)
}

// Parse reads 3 to 35 bytes. Errors wrap ErrFormat.
func (p *PersonalityDescription) Parse(b []byte) error {
	if err := withLabel(b, "DMX_PERSONALITY_DESCRIPTION", personalityDescriptionLeast); err != nil {
		return err
	}
	got := PersonalityDescription{Number: b[0], Slots: binary.BigEndian.Uint16(b[1:]), Text: p.Text}
	_ = got.Text.Parse(b[personalityDescriptionLeast:]) // takes anything
	*p = got
	return nil
}

// StartAddress is the first slot of a device, 1..512, or NoStartAddress: the
// data of GET and SET DMX_START_ADDRESS. ANSI E1.20 section 10.6.3.
type StartAddress uint16

// NoStartAddress is what a device without slots has.
const NoStartAddress StartAddress = 0xffff

// Valid reports whether a is 1..512, what may be set.
func (a StartAddress) Valid() bool { return a >= 1 && a <= 512 }

// String is the number, or "none".
func (a StartAddress) String() string {
	if a == NoStartAddress {
		return "none"
	}
	return fmt.Sprint(uint16(a))
}

// AppendBinary appends 2 bytes. The error is always nil.
func (a StartAddress) AppendBinary(b []byte) ([]byte, error) {
	return binary.BigEndian.AppendUint16(b, uint16(a)), nil
}

// Parse reads 2 bytes. Errors wrap ErrFormat, or ErrRange for what is neither
// 1..512 nor NoStartAddress.
func (a *StartAddress) Parse(b []byte) error {
	if err := exactly(b, "DMX_START_ADDRESS", 2); err != nil {
		return err
	}
	got := StartAddress(binary.BigEndian.Uint16(b))
	if !got.Valid() && got != NoStartAddress {
		return fmt.Errorf("rdm: %w: start address %d, need 1..512", ErrRange, uint16(got))
	}
	*a = got
	return nil
}
