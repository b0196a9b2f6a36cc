package artnet

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// AnyOem in an ArtTrigger says that Key and SubKey have the standard's meaning.
// With any other code they mean what that maker says.
const AnyOem = 0xffff

// TriggerKey is what an ArtTrigger for AnyOem does.
type TriggerKey uint8

// The keys of ArtTrigger, table "Key".
const (
	TriggerASCII TriggerKey = 0 // SubKey is a character
	TriggerMacro TriggerKey = 1 // SubKey is the number of a macro
	TriggerSoft  TriggerKey = 2 // SubKey is the number of a soft key
	TriggerShow  TriggerKey = 3 // SubKey is the number of a show
)

// String is a word for the key.
func (k TriggerKey) String() string {
	names := [...]string{"character", "macro", "soft key", "show"}
	if int(k) < len(names) {
		return names[k]
	}
	return fmt.Sprintf("key %d", uint8(k))
}

const (
	triggerLeast   = 18
	triggerPayload = 512
)

// Trigger is ArtTrigger: do something now. Art-Net 4, section "ArtTrigger":
//
//	12  Filler, 2 bytes    16  Key       18  Data, 512 bytes
//	14  Oem, 2 bytes       17  SubKey
type Trigger struct {
	Oem    uint16 // AnyOem, or whom it is for
	Key    TriggerKey
	SubKey uint8
	// Data is what a maker's own key needs, at most 512 bytes, without the
	// zeros at its end; the packet always carries 512.
	Data []byte
}

// OpCode is OpTrigger.
func (*Trigger) OpCode() OpCode { return OpTrigger }

// String is "ArtTrigger macro 5".
func (t *Trigger) String() string {
	if t.Oem == AnyOem {
		return fmt.Sprintf("%v %v %d", OpTrigger, t.Key, t.SubKey)
	}
	return fmt.Sprintf("%v for OEM 0x%04x: key %d, %d, %d bytes", OpTrigger, t.Oem, uint8(t.Key), t.SubKey, len(t.Data))
}

// AppendBinary appends 530 bytes. Errors wrap ErrCount.
func (t *Trigger) AppendBinary(b []byte) ([]byte, error) {
	if n := len(t.Data); n > triggerPayload {
		return b, fmt.Errorf("artnet: %v: %w: got %d bytes of data, need at most %d", OpTrigger, ErrCount, n, triggerPayload)
	}
	b = append(appendHeader(b, OpTrigger), 0, 0)
	b = binary.BigEndian.AppendUint16(b, t.Oem)
	b = append(b, uint8(t.Key), t.SubKey)
	b = append(b, t.Data...)
	return appendZeros(b, triggerPayload-len(t.Data)), nil
}

// Parse decodes b into t, leaving nothing of what t held. Data becomes a part
// of b, or nil. 18 bytes are enough. Errors wrap ErrNotArtNet, ErrOpCode,
// ErrShort or ErrVersion, and leave t as it was.
func (t *Trigger) Parse(b []byte) error {
	if err := header(b, OpTrigger, triggerLeast); err != nil {
		return err
	}
	data := bytes.TrimRight(b[triggerLeast:min(len(b), triggerLeast+triggerPayload)], "\x00")
	*t = Trigger{Oem: binary.BigEndian.Uint16(b[14:]), Key: TriggerKey(b[16]), SubKey: b[17]}
	if n := len(data); n > 0 {
		t.Data = data[:n:n]
	}
	return nil
}
