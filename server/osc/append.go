package osc

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
)

// Append appends the message to b.
func (m *Message) Append(b []byte) ([]byte, error) {
	if !goodAddress(m.Address) {
		return b, fmt.Errorf("%w: the address %q", ErrUnwritten, m.Address)
	}
	tags := []byte{','}
	for _, arg := range m.Args {
		tag := tagOf(arg)
		if tag == 0 {
			return b, fmt.Errorf("%w: an argument of type %T, or a text with a zero in it", ErrUnwritten, arg)
		}
		tags = append(tags, tag)
	}
	b = appendString(b, m.Address)
	b = appendString(b, string(tags))
	for _, arg := range m.Args {
		b = appendArg(b, arg)
	}
	return b, nil
}

// Append appends the bundle to b.
func (u *Bundle) Append(b []byte) ([]byte, error) {
	out := appendString(b, bundleHead)
	out = binary.BigEndian.AppendUint64(out, uint64(u.Time))
	for _, e := range u.Elements {
		at := len(out)
		out = append(out, 0, 0, 0, 0)
		var err error
		if out, err = e.Append(out); err != nil {
			return b, err
		}
		binary.BigEndian.PutUint32(out[at:], uint32(len(out)-at-align))
	}
	return out, nil
}

// tagOf gives the type tag of an argument, 0 for one that cannot be written.
func tagOf(arg any) byte {
	switch v := arg.(type) {
	case int32:
		return 'i'
	case float32:
		return 'f'
	case string:
		return unless(strings.Contains(v, "\x00"), 's')
	case []byte:
		return 'b'
	case int64:
		return 'h'
	case TimeTag:
		return 't'
	case float64:
		return 'd'
	case Symbol:
		return unless(strings.Contains(string(v), "\x00"), 'S')
	case Char:
		return 'c'
	case RGBA:
		return 'r'
	case MIDI:
		return 'm'
	case bool:
		if v {
			return 'T'
		}
		return 'F'
	case Nil:
		return 'N'
	case Impulse:
		return 'I'
	}
	return 0
}

func unless(bad bool, tag byte) byte {
	if bad {
		return 0
	}
	return tag
}

func appendArg(b []byte, arg any) []byte {
	switch v := arg.(type) {
	case int32:
		return binary.BigEndian.AppendUint32(b, uint32(v))
	case float32:
		return binary.BigEndian.AppendUint32(b, math.Float32bits(v))
	case string:
		return appendString(b, v)
	case []byte:
		b = binary.BigEndian.AppendUint32(b, uint32(len(v)))
		b = append(b, v...)
		return append(b, make([]byte, -len(v)&(align-1))...)
	case int64:
		return binary.BigEndian.AppendUint64(b, uint64(v))
	case TimeTag:
		return binary.BigEndian.AppendUint64(b, uint64(v))
	case float64:
		return binary.BigEndian.AppendUint64(b, math.Float64bits(v))
	case Symbol:
		return appendString(b, string(v))
	case Char:
		return binary.BigEndian.AppendUint32(b, uint32(v))
	case RGBA:
		return binary.BigEndian.AppendUint32(b, uint32(v))
	case MIDI:
		return append(b, v[:]...)
	}
	return b
}

// appendString appends a text with its one to four zeros.
func appendString(b []byte, text string) []byte {
	b = append(b, text...)
	return append(b, make([]byte, align-len(text)%align)...)
}
