package rdm

import "fmt"

// Class is the command class, ANSI E1.20 section 6.2.10.1. A response has the
// class of its request plus one.
type Class uint8

// The command classes.
const (
	Discovery         Class = 0x10
	DiscoveryResponse Class = 0x11
	Get               Class = 0x20
	GetResponse       Class = 0x21
	Set               Class = 0x30
	SetResponse       Class = 0x31
)

// IsResponse reports whether the class is one of a response.
func (c Class) IsResponse() bool { return c&1 == 1 }

// Answer is the class that answers c.
func (c Class) Answer() Class { return c | 1 }

// String is the standard's name, or the number.
func (c Class) String() string {
	switch c {
	case Discovery:
		return "DISCOVERY"
	case DiscoveryResponse:
		return "DISCOVERY response"
	case Get:
		return "GET"
	case GetResponse:
		return "GET response"
	case Set:
		return "SET"
	case SetResponse:
		return "SET response"
	}
	return fmt.Sprintf("class 0x%02x", uint8(c))
}

func (c Class) valid() bool {
	switch c &^ 1 {
	case Discovery, Get, Set:
		return true
	}
	return false
}
