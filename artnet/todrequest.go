package artnet

import "fmt"

// TodCommand is the one command of ArtTodRequest.
type TodCommand uint8

// TodFull asks for the whole table of devices.
const TodFull TodCommand = 0

const (
	// MaxTodAddresses is the most addresses in an ArtTodRequest.
	MaxTodAddresses  = 32
	todRequestAddrAt = 24
)

// TodRequest is ArtTodRequest: output gateways for these port-addresses are to
// broadcast their tables of RDM devices. It starts no discovery. It goes out by
// directed broadcast. Art-Net 4, section "ArtTodRequest":
//
//	12  Filler, 2 bytes   21  Net       23  AdCount
//	14  Spare, 7 bytes    22  Command   24  Address, 32 bytes
type TodRequest struct {
	Net     uint8 // net of all addresses, 0..127
	Command TodCommand
	// Addresses are the low bytes, sub-net and universe, of at most 32
	// port-addresses.
	Addresses []uint8
}

// OpCode is OpTodRequest.
func (*TodRequest) OpCode() OpCode { return OpTodRequest }

// Asks reports whether a gateway for port-address a is to answer.
func (r *TodRequest) Asks(a PortAddress) bool {
	if a.Net() != r.Net&0x7f {
		return false
	}
	for _, low := range r.Addresses {
		if low == uint8(a) {
			return true
		}
	}
	return false
}

// String names the port-addresses.
func (r *TodRequest) String() string {
	addresses := make([]PortAddress, len(r.Addresses))
	for i, low := range r.Addresses {
		addresses[i] = join(r.Net, low)
	}
	return fmt.Sprintf("%v command %d for %v", OpTodRequest, r.Command, addresses)
}

// AppendBinary appends 56 bytes. Errors wrap ErrCount.
func (r *TodRequest) AppendBinary(b []byte) ([]byte, error) {
	n := len(r.Addresses)
	if n > MaxTodAddresses {
		return b, fmt.Errorf("artnet: %v: %w: got %d addresses, need at most %d", OpTodRequest, ErrCount, n, MaxTodAddresses)
	}
	b = appendZeros(appendHeader(b, OpTodRequest), 9)
	b = append(b, r.Net&0x7f, uint8(r.Command), uint8(n))
	b = append(b, r.Addresses...)
	return appendZeros(b, MaxTodAddresses-n), nil
}

// Parse decodes b into r, leaving nothing of what r held. Addresses becomes a
// part of b, or nil. As many bytes as AdCount needs are enough. Errors wrap
// ErrNotArtNet, ErrOpCode, ErrShort, ErrVersion or ErrCount, and leave r as it
// was.
func (r *TodRequest) Parse(b []byte) error {
	if err := header(b, OpTodRequest, todRequestAddrAt); err != nil {
		return err
	}
	n := int(b[23])
	if n > MaxTodAddresses {
		return fmt.Errorf("artnet: %v: %w: got %d addresses, need at most %d", OpTodRequest, ErrCount, n, MaxTodAddresses)
	}
	if got := len(b) - todRequestAddrAt; got < n {
		return fmt.Errorf("artnet: %v: %w: %d addresses said, %d in the packet", OpTodRequest, ErrCount, n, got)
	}
	*r = TodRequest{Net: b[21] & 0x7f, Command: TodCommand(b[22])}
	if n > 0 {
		r.Addresses = b[todRequestAddrAt : todRequestAddrAt+n : todRequestAddrAt+n]
	}
	return nil
}
