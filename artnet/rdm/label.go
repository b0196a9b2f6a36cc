package rdm

import "fmt"

// MaxLabel is the most bytes of a label.
const MaxLabel = 32

// Label is a text: the data of DEVICE_MODEL_DESCRIPTION, MANUFACTURER_LABEL,
// DEVICE_LABEL and SOFTWARE_VERSION_LABEL, ANSI E1.20 sections 10.5.3-10.5.5 and
// 10.5.9: ASCII without a NUL.
type Label string

// AppendBinary appends len(l) bytes. Errors wrap ErrLabel.
func (l Label) AppendBinary(b []byte) ([]byte, error) {
	if len(l) > MaxLabel {
		return b, fmt.Errorf("rdm: %w: %q has %d bytes, need at most %d", ErrLabel, string(l), len(l), MaxLabel)
	}
	for i := range len(l) {
		if !printable(l[i]) {
			return b, fmt.Errorf("rdm: %w: %q has byte 0x%02x, need printable ASCII", ErrLabel, string(l), l[i])
		}
	}
	return append(b, l...), nil
}

// Parse reads any bytes, since devices do send others: it ends at a NUL or after
// 32 bytes and puts '?' for what is not printable ASCII. The error is always
// nil.
func (l *Label) Parse(b []byte) error {
	var clean [MaxLabel]byte
	n := 0
	for _, c := range b[:min(len(b), MaxLabel)] {
		if c == 0 {
			break
		}
		if !printable(c) {
			c = '?'
		}
		clean[n] = c
		n++
	}
	if string(clean[:n]) != string(*l) { // an unchanged label makes nothing
		*l = Label(clean[:n])
	}
	return nil
}

func printable(c byte) bool { return c >= 0x20 && c < 0x7f }
