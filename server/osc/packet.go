package osc

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Packet is a *Message or a *Bundle.
type Packet interface {
	// Append appends the packet to b. The error says what of it cannot be written; b is
	// then as it was.
	Append(b []byte) ([]byte, error)
}

// Message is an address pattern with arguments.
type Message struct {
	Address string // begins with a slash
	Args    []any  // int32 float32 string []byte int64 TimeTag float64 Symbol Char RGBA MIDI bool Nil Impulse
}

// Bundle is packets that belong to one time.
type Bundle struct {
	Time     TimeTag
	Elements []Packet
}

// TimeTag is a time as NTP has it: seconds since 1900 in the upper 32 bits, their
// fraction in the lower.
type TimeTag uint64

// Immediately is the time tag of what is to happen at once.
const Immediately TimeTag = 1

// The arguments that are no types of Go.
type (
	Symbol  string  // tag S
	Char    int32   // tag c, an ASCII character
	RGBA    uint32  // tag r
	MIDI    [4]byte // tag m: port, status, two bytes of data
	Nil     struct{}
	Impulse struct{} // tag I
)

const (
	bundleHead = "#bundle"
	// align is what everything is a multiple of, in bytes.
	align = 4
	// maxDepth is how deep bundles may lie in each other.
	maxDepth = 8
)

// Why a packet cannot be read.
var (
	ErrShort     = errors.New("osc: the packet ends too early")
	ErrAlign     = errors.New("osc: the packet is no multiple of 4 bytes")
	ErrPadding   = errors.New("osc: a text is not filled up with zeros")
	ErrStart     = errors.New("osc: the packet begins with neither / nor #bundle")
	ErrAddress   = errors.New("osc: the address has a space or an unprintable character")
	ErrTags      = errors.New("osc: the type tags do not begin with a comma")
	ErrTag       = errors.New("osc: a type tag is not known")
	ErrDepth     = errors.New("osc: bundles lie too deep in each other")
	ErrRest      = errors.New("osc: bytes are left after the arguments")
	ErrUnwritten = errors.New("osc: this cannot be written")
)

// Parse reads one packet. What it gives shares no memory with b.
func Parse(b []byte) (Packet, error) { return parse(b, 0) }

func parse(b []byte, depth int) (Packet, error) {
	switch {
	case len(b) == 0:
		return nil, ErrShort
	case len(b)%align != 0:
		return nil, ErrAlign
	case b[0] == '/':
		return parseMessage(b)
	case strings.HasPrefix(string(b[:min(len(b), 8)]), bundleHead+"\x00"):
		return parseBundle(b[8:], depth)
	}
	return nil, ErrStart
}

func parseBundle(b []byte, depth int) (*Bundle, error) {
	if depth == maxDepth {
		return nil, ErrDepth
	}
	if len(b) < 8 {
		return nil, ErrShort
	}
	bundle := &Bundle{Time: TimeTag(binary.BigEndian.Uint64(b))}
	for b = b[8:]; len(b) > 0; {
		if len(b) < align {
			return nil, ErrShort
		}
		size := binary.BigEndian.Uint32(b)
		b = b[align:]
		if uint64(size) > uint64(len(b)) {
			return nil, ErrShort
		}
		element, err := parse(b[:size], depth+1)
		if err != nil {
			return nil, err
		}
		bundle.Elements = append(bundle.Elements, element)
		b = b[size:]
	}
	return bundle, nil
}

func parseMessage(b []byte) (*Message, error) {
	address, b, err := readString(b)
	if err != nil {
		return nil, err
	}
	if !goodAddress(address) {
		return nil, ErrAddress
	}
	m := &Message{Address: address}
	if len(b) == 0 {
		return m, nil // older senders leave the type tags out where there is nothing
	}
	tags, b, err := readString(b)
	if err != nil {
		return nil, err
	}
	if tags == "" || tags[0] != ',' {
		return nil, ErrTags
	}
	for _, tag := range []byte(tags[1:]) {
		var arg any
		if arg, b, err = readArg(tag, b); err != nil {
			return nil, err
		}
		m.Args = append(m.Args, arg)
	}
	if len(b) > 0 {
		return nil, ErrRest
	}
	return m, nil
}

// goodAddress tells whether every character of an address is printable and no space.
func goodAddress(address string) bool {
	return strings.HasPrefix(address, "/") && !strings.ContainsFunc(address, func(c rune) bool { return c <= ' ' || c > '~' })
}

// readString reads a text that ends in one to four zeros.
func readString(b []byte) (string, []byte, error) {
	end := slices.Index(b, 0)
	if end < 0 {
		return "", nil, ErrShort
	}
	size := end + align - end%align
	if size > len(b) {
		return "", nil, ErrShort
	}
	if slices.ContainsFunc(b[end:size], func(c byte) bool { return c != 0 }) {
		return "", nil, ErrPadding
	}
	return string(b[:end]), b[size:], nil
}

func readArg(tag byte, b []byte) (any, []byte, error) {
	switch tag {
	case 'T', 'F':
		return tag == 'T', b, nil
	case 'N':
		return Nil{}, b, nil
	case 'I':
		return Impulse{}, b, nil
	case 's', 'S':
		text, rest, err := readString(b)
		if tag == 'S' {
			return Symbol(text), rest, err
		}
		return text, rest, err
	case 'b':
		return readBlob(b)
	case 'i', 'f', 'c', 'r', 'm':
		if len(b) < 4 {
			return nil, nil, ErrShort
		}
		return word(tag, b), b[4:], nil
	case 'h', 't', 'd':
		if len(b) < 8 {
			return nil, nil, ErrShort
		}
		v := binary.BigEndian.Uint64(b)
		switch tag {
		case 'h':
			return int64(v), b[8:], nil
		case 't':
			return TimeTag(v), b[8:], nil
		}
		return math.Float64frombits(v), b[8:], nil
	}
	return nil, nil, fmt.Errorf("%w: %q", ErrTag, tag)
}

// word reads an argument of four bytes.
func word(tag byte, b []byte) any {
	v := binary.BigEndian.Uint32(b)
	switch tag {
	case 'i':
		return int32(v)
	case 'f':
		return math.Float32frombits(v)
	case 'c':
		return Char(v)
	case 'r':
		return RGBA(v)
	}
	return MIDI(b[:4])
}

func readBlob(b []byte) (any, []byte, error) {
	if len(b) < align {
		return nil, nil, ErrShort
	}
	size := uint64(binary.BigEndian.Uint32(b))
	b = b[align:]
	whole := (size + align - 1) / align * align
	if whole > uint64(len(b)) {
		return nil, nil, ErrShort
	}
	if slices.ContainsFunc(b[size:whole], func(c byte) bool { return c != 0 }) {
		return nil, nil, ErrPadding
	}
	return append([]byte{}, b[:size]...), b[whole:], nil
}
