package artnet

import "fmt"

// RdmCommand is the one command of ArtRdm.
type RdmCommand uint8

// RdmProcess: pass the message on.
const RdmProcess RdmCommand = 0

// The least and most bytes of an RDM message in an ArtRdm: ANSI E1.20 section
// 6.2 allows 26..257 with the START code, which does not travel here.
const (
	MinRdmMessage = 25
	MaxRdmMessage = 256

	rdmMessageAt = 24
)

// Rdm is ArtRdm: an RDM message to or from a gateway, by unicast. GET and SET
// travel; discovery never does, gateways do that alone. Art-Net 4, section
// "ArtRdm":
//
//	12  RdmVer, 1         19  FifoAvail   21  Net       24  RDM message
//	13  Filler            20  FifoMax     22  Command
//	14  Spare, 5 bytes                    23  Address
type Rdm struct {
	// FifoAvail of FifoMax places are free in the gateway's queue; both 0 from
	// a gateway that does not say, and in requests.
	FifoAvail, FifoMax uint8
	PortAddress        PortAddress
	Command            RdmCommand
	// Message is 25..256 bytes from the sub-START code 0x01 to the checksum,
	// without the START code 0xCC, which the checksum counts all the same. A
	// decoded one may have bytes after its checksum.
	Message []byte
}

// OpCode is OpRdm.
func (*Rdm) OpCode() OpCode { return OpRdm }

// String is the port-address and the size of the message.
func (r *Rdm) String() string {
	return fmt.Sprintf("%v %v: %d bytes, queue %d of %d free", OpRdm, r.PortAddress, len(r.Message), r.FifoAvail, r.FifoMax)
}

// AppendBinary appends 24 + len(Message) bytes. Errors wrap ErrPortAddress or
// ErrCount.
func (r *Rdm) AppendBinary(b []byte) ([]byte, error) {
	if err := r.PortAddress.check(); err != nil {
		return b, err
	}
	if n := len(r.Message); n < MinRdmMessage || n > MaxRdmMessage {
		return b, fmt.Errorf("artnet: %v: %w: got a message of %d bytes, need %d..%d", OpRdm, ErrCount, n, MinRdmMessage, MaxRdmMessage)
	}
	b = append(appendHeader(b, OpRdm), rdmVersion, 0)
	b = appendZeros(b, 5)
	b = append(b, r.FifoAvail, r.FifoMax, r.PortAddress.Net(), uint8(r.Command), uint8(r.PortAddress))
	return append(b, r.Message...), nil
}

// Parse decodes b into r, leaving nothing of what r held. Message becomes a part
// of b, at most 256 bytes. Errors wrap ErrNotArtNet, ErrOpCode, ErrShort or
// ErrVersion, and leave r as it was.
func (r *Rdm) Parse(b []byte) error {
	if err := header(b, OpRdm, rdmMessageAt+MinRdmMessage); err != nil {
		return err
	}
	end := min(len(b), rdmMessageAt+MaxRdmMessage)
	*r = Rdm{
		FifoAvail: b[19], FifoMax: b[20], PortAddress: join(b[21], b[23]), Command: RdmCommand(b[22]),
		Message: b[rdmMessageAt:end:end],
	}
	return nil
}
